import { combineRow } from './rowRuns.ts';
import type { Runs } from './runs.ts';

/** Which points to keep, by membership: bit 1 = in the first only, bit 2 = in the second only, bit 3 = in both. */
export type Membership = number;
export const FIRST_ONLY: Membership = 0b0010;
export const SECOND_ONLY: Membership = 0b0100;
export const BOTH: Membership = 0b1000;

/**
 * One merge of two regions of the same lattice, row by row, keeping the points whose membership is
 * in `keep`. Ends are taken over bit for bit; pieces that come to touch are one run.
 */
export function combineRuns(first: Runs, second: Runs, keep: Membership): Runs {
  if (first.offsets.length !== second.offsets.length) throw new Error('regions of different lattices');
  const rows = first.offsets.length - 1;
  const offsets = new Uint32Array(rows + 1);
  const ends = new Float32Array(first.ends.length + second.ends.length);
  let written = 0;
  for (let row = 0; row < rows; row++) {
    const a = 2 * first.offsets[row]!;
    const lastA = 2 * first.offsets[row + 1]!;
    const b = 2 * second.offsets[row]!;
    const lastB = 2 * second.offsets[row + 1]!;
    written = combineRow(first.ends, a, lastA, second.ends, b, lastB, keep, ends, written);
    offsets[row + 1] = written >> 1;
  }
  return { lattice: first.lattice, offsets, ends: ends.slice(0, written) };
}
