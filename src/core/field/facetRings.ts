import type { Mesh } from '../mesh/mesh.ts';

/** The facets round each corner: those of corner v are `facets[start[v]] … facets[start[v + 1]]`. */
export interface FacetRings {
  readonly start: Uint32Array;
  readonly facets: Uint32Array;
}

/** Rings of the facets that reach into heights [low, high]; other facets are in none. */
export function facetRings({ positions, triangles }: Mesh, low: number, high: number): FacetRings {
  const corners = positions.length / 3;
  const start = new Uint32Array(corners + 1);
  const within = new Uint8Array(triangles.length / 3);
  for (let f = 0; f < within.length; f++) {
    const a = triangles[3 * f]!;
    const b = triangles[3 * f + 1]!;
    const c = triangles[3 * f + 2]!;
    const az = positions[3 * a + 2]!;
    const bz = positions[3 * b + 2]!;
    const cz = positions[3 * c + 2]!;
    if ((az < low && bz < low && cz < low) || (az > high && bz > high && cz > high)) continue;
    within[f] = 1;
    start[a]!++;
    start[b]!++;
    start[c]!++;
  }
  let total = 0;
  for (let v = 0; v <= corners; v++) {
    total += start[v]!;
    start[v] = total;
  }
  const facets = new Uint32Array(total);
  for (let f = within.length - 1; f >= 0; f--) {
    if (within[f] === 0) continue;
    for (let c = 3 * f; c < 3 * f + 3; c++) facets[--start[triangles[c]!]!] = f;
  }
  return { start, facets };
}
