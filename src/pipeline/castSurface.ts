import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { buildRayGrid } from '../core/rays/buildRayGrid.ts';
import { type LabelledRuns, labelledRuns } from '../core/rays/labelledRuns.ts';
import type { Lattice } from '../core/rays/lattice.ts';
import type { Runs } from '../core/rays/runs.ts';
import { solidRuns } from '../core/rays/solidRuns.ts';

export interface SurfaceToCast {
  /** Closed, outward, in the frame of the lattice. */
  readonly mesh: Mesh;
  readonly lattice: Lattice;
  /** Chamber by facet for a cavity, whose runs are named after it; null for a part's outside. */
  readonly facetChamber: Uint32Array | null;
}

/** The inside of one surface as runs; `LabelledRuns` for a cavity. */
export function castSurface(
  { mesh, lattice, facetChamber }: SurfaceToCast,
  interrupter: Interrupter,
): Runs | LabelledRuns {
  if (facetChamber === null) return solidRuns(buildRayGrid(mesh, lattice, interrupter));
  return labelledRuns(buildRayGrid(mesh, lattice, interrupter, { facets: true }), facetChamber);
}
