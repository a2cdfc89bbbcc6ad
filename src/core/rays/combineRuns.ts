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
    const rowStart = written;
    let a = 2 * first.offsets[row]!;
    let b = 2 * second.offsets[row]!;
    const lastA = 2 * first.offsets[row + 1]!;
    const lastB = 2 * second.offsets[row + 1]!;
    // An odd index is the end of a run that has begun: its parity is the membership.
    while (a < lastA || b < lastB) {
      const nextA = a < lastA ? first.ends[a]! : Number.POSITIVE_INFINITY;
      const nextB = b < lastB ? second.ends[b]! : Number.POSITIVE_INFINITY;
      const x = Math.min(nextA, nextB);
      if (nextA === x) a++;
      if (nextB === x) b++;
      const kept = ((keep >> ((a & 1) | ((b & 1) << 1))) & 1) === 1;
      if (kept === ((written & 1) === 1)) continue;
      // Opening where the last piece closed joins them; closing where it opened leaves nothing.
      if (written > rowStart && ends[written - 1] === x) written--;
      else ends[written++] = x;
    }
    offsets[row + 1] = written >> 1;
  }
  return { lattice: first.lattice, offsets, ends: ends.slice(0, written) };
}
