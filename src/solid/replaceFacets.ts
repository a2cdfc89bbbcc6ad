import type { Mesh } from '../core/mesh/mesh.ts';
import type { SewablePatch } from './sewablePatch.ts';

/** Facets of a mesh, in its order, and what comes in their place. */
export interface Replacement extends SewablePatch {
  readonly facets: Uint32Array;
}

/**
 * The facets that nobody replaces first, in their order and to the bit, then the replacements.
 * Vertices keep their order too; those that no facet is left at go, new ones come last.
 */
export function replaceFacets(whole: Mesh, replacements: readonly Replacement[]): Mesh {
  const gone = new Uint8Array(whole.triangles.length / 3);
  for (const { facets } of replacements) for (const facet of facets) gone[facet] = 1;
  const numbers = keptVertices(whole, gone, replacements);
  const added = (length: (one: Replacement) => number): number =>
    replacements.reduce((sum, one) => sum + length(one), 0);
  const removed = 3 * added(({ facets }) => facets.length);
  const triangles = new Uint32Array(whole.triangles.length - removed + added((one) => one.triangles.length));
  let t = copyFacets(whole.triangles, gone, numbers.of, triangles);
  const newVertices = added(({ vertexOf }) => vertexOf.reduce((sum, own) => sum + (own < 0 ? 1 : 0), 0));
  const positions = new Float32Array(3 * (numbers.count + newVertices));
  copyVertices(whole.positions, numbers.of, positions);
  let next = numbers.count;
  for (const { positions: cut, triangles: facets, vertexOf } of replacements) {
    const number = vertexOf.map((own, v) => {
      if (own >= 0) return numbers.of[own]!;
      for (let axis = 0; axis < 3; axis++) positions[3 * next + axis] = cut[3 * v + axis]!;
      return next++;
    });
    for (const vertex of facets) triangles[t++] = number[vertex]!;
  }
  return { positions, triangles };
}

/** New number by vertex, −1 for those without a facet left and none that comes in its place. */
function keptVertices(
  { positions, triangles }: Mesh,
  gone: Uint8Array,
  replacements: readonly Replacement[],
): { readonly of: Int32Array; readonly count: number } {
  const of = new Int32Array(positions.length / 3).fill(-1);
  for (let facet = 0, at = 0; at < triangles.length; facet++, at += 3) {
    if (gone[facet] === 1) continue;
    of[triangles[at]!] = 0;
    of[triangles[at + 1]!] = 0;
    of[triangles[at + 2]!] = 0;
  }
  // Between two patches a vertex may have replaced facets alone.
  for (const { vertexOf } of replacements) for (const own of vertexOf) if (own >= 0) of[own] = 0;
  let count = 0;
  for (let v = 0; v < of.length; v++) if (of[v] === 0) of[v] = count++;
  return { of, count };
}

function copyFacets(from: Uint32Array, gone: Uint8Array, number: Int32Array, to: Uint32Array): number {
  let t = 0;
  for (let facet = 0, at = 0; at < from.length; facet++, at += 3) {
    if (gone[facet] === 1) continue;
    to[t++] = number[from[at]!]!;
    to[t++] = number[from[at + 1]!]!;
    to[t++] = number[from[at + 2]!]!;
  }
  return t;
}

function copyVertices(from: Float32Array, number: Int32Array, to: Float32Array): void {
  for (let v = 0; v < number.length; v++) {
    const at = 3 * number[v]!;
    if (at < 0) continue;
    to[at] = from[3 * v]!;
    to[at + 1] = from[3 * v + 1]!;
    to[at + 2] = from[3 * v + 2]!;
  }
}
