import type { RayGrid } from './rayGrid.ts';
import { solidOfRow } from './rowRuns.ts';
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
    written = solidOfRow(x, jump, crossingOffsets[row]!, crossingOffsets[row + 1]!, ends, written);
    offsets[row + 1] = written >> 1;
  }
  return { lattice, offsets, ends: ends.slice(0, written) };
}
