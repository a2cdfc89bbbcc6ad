import type { FacetSource } from './facetSource.ts';

/** Smaller files fit the caches in any order. */
const fewFacets = 1 << 16;
const windows = 64;
const windowFacets = 256;
/**
 * Mean step from facet to facet, in edge lengths, above which taking them in another order pays.
 * Sculpting programs and marching cubes stay below 3; strips of sixteen facets thrown together come
 * to ten times that.
 */
const farSteps = 16;

/**
 * True when facets that follow each other in the file lie far apart in space, judged by 64 stretches
 * of 256 facets: every pass over the mesh then waits for memory.
 */
export function isScattered(source: FacetSource): boolean {
  if (source.count < fewFacets) return false;
  const facets = new Uint32Array(windowFacets);
  const words = new Int32Array(9 * windowFacets);
  const p = new Float32Array(words.buffer);
  let steps = 0;
  let edges = 0;
  for (let window = 0; window < windows; window++) {
    const first = Math.floor((window * (source.count - windowFacets)) / (windows - 1));
    for (let i = 0; i < windowFacets; i++) facets[i] = first + i;
    source.read(facets, words);
    for (let at = 9; at < p.length; at += 9) {
      steps += distance(p, at, at - 9);
      edges += distance(p, at, at + 3);
    }
  }
  return steps > farSteps * edges;
}

function distance(p: Float32Array, a: number, b: number): number {
  const x = p[a]! - p[b]!;
  const y = p[a + 1]! - p[b + 1]!;
  const z = p[a + 2]! - p[b + 2]!;
  return Math.sqrt(x * x + y * y + z * z);
}
