import type { Cavity } from '../field/cavity.ts';
import { type Interrupter, portion } from '../interrupter.ts';
import { boundsOf } from '../mesh/boundsOf.ts';
import { buildRayGrid } from '../rays/buildRayGrid.ts';
import { labelledRuns } from '../rays/labelledRuns.ts';
import type { Lattice } from '../rays/lattice.ts';
import type { Vec3 } from '../vector.ts';
import type { ChamberCells } from './chamberCells.ts';
import { clearanceOf } from './clearanceOf.ts';

/** About as many cells as this are made, whatever the size of the hollow. */
const CELLS = 400_000;
/** Finer than the field's own lattice no cell tells more; coarser than a limb none tells enough. mm. */
const FINEST_MM = 0.5;
const COARSEST_MM = 2;

/** The chambers of a cavity as cubes, in its frame; none for a part without chambers. */
export function buildChamberCells(cavity: Cavity, interrupter: Interrupter): ChamberCells {
  const volume = cavity.chambers.reduce((sum, { volumeMm3 }) => sum + volumeMm3, 0);
  const spacing = Math.min(COARSEST_MM, Math.max(FINEST_MM, Math.cbrt(volume / CELLS)));
  const { origin, size } = boxOfCells(cavity, spacing);
  const lattice: Lattice = {
    y0: origin[1],
    dy: spacing,
    rows: size[1],
    z0: origin[2],
    dz: spacing,
    layers: size[2],
  };
  const grid = buildRayGrid(cavity.mesh, lattice, portion(interrupter, 0, 0.4), { facets: true });
  const { offsets, ends, label } = labelledRuns(grid, cavity.facetChamber);
  const index: number[] = [];
  const chamber: number[] = [];
  for (let row = 0; row + 1 < offsets.length; row++) {
    for (let run = offsets[row]!; run < offsets[row + 1]!; run++) {
      // Cells whose middle lies in the run: those of another run start where this one ends.
      const from = Math.ceil((ends[2 * run]! - origin[0]) / spacing - 0.5);
      const to = Math.ceil((ends[2 * run + 1]! - origin[0]) / spacing - 0.5);
      for (let x = from; x < to; x++) {
        index.push(x + size[0] * row);
        chamber.push(label[run]!);
      }
    }
  }
  const cells = { origin, spacing, size, index: Uint32Array.from(index), chamber: Uint16Array.from(chamber) };
  return { ...cells, clearance: clearanceOf(cells, cavity.mesh, portion(interrupter, 0.4, 1)) };
}

/** With a cell to spare on every side. */
function boxOfCells({ mesh }: Cavity, spacing: number): { origin: Vec3; size: Vec3 } {
  const { min, max } = boundsOf(mesh.positions);
  const size = min.map((low, axis) => Math.ceil((max[axis]! - low) / spacing) + 2);
  const origin = min.map((low, axis) => (low + max[axis]! - size[axis]! * spacing) / 2);
  return { origin: origin as unknown as Vec3, size: size as unknown as Vec3 };
}
