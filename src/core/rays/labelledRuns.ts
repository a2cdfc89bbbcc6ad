import type { RayGrid } from './rayGrid.ts';
import { chambersOfRow } from './rowRuns.ts';
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
    const from = crossingOffsets[row]!;
    const to = crossingOffsets[row + 1]!;
    runs = chambersOfRow(x, jump, facet, facetChamber, from, to, ends, label, runs);
    offsets[row + 1] = runs;
  }
  return { lattice, offsets, ends: ends.slice(0, 2 * runs), label: label.slice(0, runs) };
}
