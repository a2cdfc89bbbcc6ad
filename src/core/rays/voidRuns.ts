import type { Runs } from './runs.ts';

/** The complement of a region within a rectangle that clears it on both sides in x. */
export interface VoidRuns extends Runs {
  /** The rectangle's x bounds: a run that starts or ends on one reaches the outside. */
  readonly xLow: number;
  readonly xHigh: number;
}

/** Everything of the lattice's rectangle that is not in `solid`, one row spacing of margin in x. */
export function voidRuns(solid: Runs): VoidRuns {
  const { lattice, offsets: solidOffsets, ends: solidEnds } = solid;
  const rows = solidOffsets.length - 1;
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (let row = 0; row < rows; row++) {
    const from = solidOffsets[row]!;
    const to = solidOffsets[row + 1]!;
    if (from === to) continue;
    least = Math.min(least, solidEnds[2 * from]!);
    most = Math.max(most, solidEnds[2 * to - 1]!);
  }
  if (least > most) least = most = 0;
  const xLow = Math.fround(least - lattice.dy);
  const xHigh = Math.fround(most + lattice.dy);

  const offsets = new Uint32Array(rows + 1);
  const ends = new Float32Array(solidEnds.length + 2 * rows);
  let written = 0;
  for (let row = 0; row < rows; row++) {
    ends[written++] = xLow;
    const last = 2 * solidOffsets[row + 1]!;
    for (let i = 2 * solidOffsets[row]!; i < last; i++) ends[written++] = solidEnds[i]!;
    ends[written++] = xHigh;
    offsets[row + 1] = written >> 1;
  }
  return { lattice, offsets, ends, xLow, xHigh };
}
