import { type Interrupter, portion } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { castCrossings, gatherLayer } from './castCrossings.ts';
import type { Lattice } from './lattice.ts';
import { expectedCrossings, layerLoads } from './layerLoads.ts';
import type { RayGrid } from './rayGrid.ts';
import { sortCrossings } from './sortCrossings.ts';

const ROWS_PER_CALL = 1 << 17;

/**
 * All crossings of a mesh with the rays of a lattice, by the rules of `castCrossings`. Memory is 4
 * bytes a row and 5 a crossing (9 with `facets`), and while it is built 8 (12) more a crossing. For
 * meshes from outside ask `checkGridLoad` first.
 */
export function buildRayGrid(
  mesh: Mesh,
  lattice: Lattice,
  interrupter: Interrupter,
  options: { readonly facets?: boolean } = {},
): RayGrid {
  const { rows, layers } = lattice;
  const expected = expectedCrossings(mesh, layerLoads(mesh, lattice), 0, layers);
  const casting = portion(interrupter, 0, 0.6);
  const crossings = castCrossings(mesh, lattice, 0, layers, expected, options.facets === true, casting);
  const offsets = new Uint32Array(rows * layers + 1);
  const x = new Float32Array(crossings.count);
  const jump = new Int8Array(crossings.count);
  const facet = options.facets ? new Uint32Array(crossings.count) : null;
  let sinceCall = 0;
  for (let layer = 0; layer < layers; layer++) {
    sinceCall += rows;
    if (sinceCall > ROWS_PER_CALL) {
      sinceCall = 0;
      interrupter(0.6 + (0.2 * layer) / layers);
    }
    gatherLayer(crossings, layer, rows, offsets, layer * rows, x, jump, facet);
  }
  sortCrossings(offsets, x, jump, facet, interrupter, 0.8, 1);
  return facet ? { lattice, offsets, x, jump, facet } : { lattice, offsets, x, jump };
}
