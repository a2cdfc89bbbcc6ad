import type { Runs } from './runs.ts';

/** The complement of a region within a rectangle that clears it on both sides in x. */
export interface VoidRuns extends Runs {
  /** The rectangle's x bounds: a run that starts or ends on one reaches the outside. */
  readonly xLow: number;
  readonly xHigh: number;
}

/**
 * The x bounds of the void of a part that spans least … most in x, mm: a row spacing of margin, more
 * where float32 would swallow that. They are float32 numbers.
 */
export function voidBounds(least: number, most: number, dy: number): { xLow: number; xHigh: number } {
  const margin = Math.max(dy, 1e-6 * Math.max(Math.abs(least), Math.abs(most)));
  return { xLow: Math.fround(least - margin), xHigh: Math.fround(most + margin) };
}

/** The x bounds of the void around some solid. */
export function boundsOfRuns({ lattice, offsets, ends }: Runs): { xLow: number; xHigh: number } {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (let row = 0; row + 1 < offsets.length; row++) {
    const from = offsets[row]!;
    const to = offsets[row + 1]!;
    if (from === to) continue;
    least = Math.min(least, ends[2 * from]!);
    most = Math.max(most, ends[2 * to - 1]!);
  }
  return least > most ? voidBounds(0, 0, lattice.dy) : voidBounds(least, most, lattice.dy);
}

/** Everything of the lattice's rectangle that is not in `solid`, between the given x bounds. */
export function voidRuns(solid: Runs, bounds = boundsOfRuns(solid)): VoidRuns {
  const { lattice, offsets: solidOffsets, ends: solidEnds } = solid;
  const { xLow, xHigh } = bounds;
  const rows = solidOffsets.length - 1;
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
