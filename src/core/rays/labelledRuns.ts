import type { RayGrid } from './rayGrid.ts';
import type { Runs } from './runs.ts';

/** A region with a number on each run: which chamber it belongs to. */
export interface LabelledRuns extends Runs {
  readonly label: Uint32Array;
}

/**
 * The inside of a cavity mesh (closed, oriented as a solid of its own) with each run named after the
 * chamber of the facet it enters by. The grid must carry facets. Runs of one chamber that touch are
 * one; runs of two chambers stay apart even where float32 makes them touch.
 */
export function labelledRuns(grid: RayGrid, facetChamber: Uint32Array): LabelledRuns {
  const { lattice, offsets: crossingOffsets, x, jump, facet } = grid;
  if (!facet) throw new Error('the grid was built without facets');
  const rows = crossingOffsets.length - 1;
  const offsets = new Uint32Array(rows + 1);
  const ends = new Float32Array(x.length + 1);
  const label = new Uint32Array((x.length >> 1) + 1);
  let runs = 0;
  for (let row = 0; row < rows; row++) {
    const rowStart = runs;
    const last = crossingOffsets[row + 1]!;
    let winding = 0;
    let entry = 0;
    for (let i = crossingOffsets[row]!; i < last; i++) {
      const before = winding;
      winding += jump[i]!;
      if (before < 1 && winding >= 1) entry = i;
      else if (before >= 1 && winding < 1 && x[i]! > x[entry]!) {
        const chamber = facetChamber[facet[entry]!]!;
        if (runs > rowStart && label[runs - 1] === chamber && ends[2 * runs - 1]! >= x[entry]!) {
          ends[2 * runs - 1] = x[i]!;
          continue;
        }
        ends[2 * runs] = x[entry]!;
        ends[2 * runs + 1] = x[i]!;
        label[runs++] = chamber;
      }
    }
    offsets[row + 1] = runs;
  }
  return { lattice, offsets, ends: ends.slice(0, 2 * runs), label: label.slice(0, runs) };
}
