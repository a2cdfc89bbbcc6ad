import type { Mesh } from '../mesh/mesh.ts';

/** The facets round each corner: those of corner v are `facets[start[v]] … facets[start[v + 1]]`. */
export interface FacetRings {
  readonly start: Uint32Array;
  readonly facets: Uint32Array;
}

export function facetRings({ positions, triangles }: Mesh): FacetRings {
  const corners = positions.length / 3;
  const start = new Uint32Array(corners + 1);
  for (let i = 0; i < triangles.length; i++) start[triangles[i]!]!++;
  let total = 0;
  for (let v = 0; v <= corners; v++) {
    total += start[v]!;
    start[v] = total;
  }
  const facets = new Uint32Array(total);
  for (let i = triangles.length - 1; i >= 0; i--) facets[--start[triangles[i]!]!] = Math.floor(i / 3);
  return { start, facets };
}
