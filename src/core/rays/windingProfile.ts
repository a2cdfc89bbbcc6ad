import type { RayGrid } from './rayGrid.ts';

/** What the winding number says of a grid beyond its solid. Volumes mm³. */
export interface WindingProfile {
  /** Where shells overlap or a wall stands twice: winding 2 or more. */
  readonly doubledMm3: number;
  /** Where a shell is inside out with nothing around it: winding below 0. */
  readonly negativeMm3: number;
  /** Rows whose jumps do not sum to 0: the mesh is open or misoriented there. */
  readonly unbalancedRows: number;
}

/** Volumes by winding number over all rows of a grid, each crossing standing for dy·dz. */
export function windingProfile(grid: RayGrid): WindingProfile {
  const { lattice, offsets, x, jump } = grid;
  let doubled = 0;
  let negative = 0;
  let unbalancedRows = 0;
  for (let row = 0; row + 1 < offsets.length; row++) {
    const last = offsets[row + 1]!;
    let winding = 0;
    for (let i = offsets[row]!; i < last; i++) {
      winding += jump[i]!;
      if (i + 1 === last) break;
      if (winding >= 2) doubled += x[i + 1]! - x[i]!;
      else if (winding < 0) negative += x[i + 1]! - x[i]!;
    }
    if (winding !== 0) unbalancedRows++;
  }
  const sample = lattice.dy * lattice.dz;
  return { doubledMm3: doubled * sample, negativeMm3: negative * sample, unbalancedRows };
}
