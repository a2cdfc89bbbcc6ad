import type { RayGrid } from './rayGrid.ts';
import type { Runs } from './runs.ts';

/**
 * The solid of a grid: everywhere the winding number along the ray is 1 or more, so overlapping
 * shells unite and inward shells are voids. Runs that touch (in float32) are one; a run that never
 * ends, on a row an open mesh left unbalanced, is left out (see `windingProfile`).
 */
export function solidRuns(grid: RayGrid): Runs {
  const { lattice, offsets: crossingOffsets, x, jump } = grid;
  const rows = crossingOffsets.length - 1;
  const offsets = new Uint32Array(rows + 1);
  const ends = new Float32Array(x.length + 1);
  let written = 0;
  for (let row = 0; row < rows; row++) {
    offsets[row] = written >> 1;
    const rowStart = written;
    const last = crossingOffsets[row + 1]!;
    let winding = 0;
    let begun = 0;
    for (let i = crossingOffsets[row]!; i < last; i++) {
      const before = winding;
      winding += jump[i]!;
      if (before < 1 && winding >= 1) begun = x[i]!;
      else if (before >= 1 && winding < 1 && x[i]! > begun) {
        if (written > rowStart && ends[written - 1]! >= begun) {
          ends[written - 1] = x[i]!;
        } else {
          ends[written] = begun;
          ends[written + 1] = x[i]!;
          written += 2;
        }
      }
    }
  }
  offsets[rows] = written >> 1;
  return { lattice, offsets, ends: ends.slice(0, written) };
}
