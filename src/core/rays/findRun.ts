import type { Runs } from './runs.ts';

/** The run of row `row` (a `rowIndex`) that holds x, or −1 where none does. Binary search. */
export function findRun({ offsets, ends }: Pick<Runs, 'offsets' | 'ends'>, row: number, x: number): number {
  let low = offsets[row]!;
  let high = offsets[row + 1]!;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ends[2 * middle + 1]! < x) low = middle + 1;
    else high = middle;
  }
  return low < offsets[row + 1]! && ends[2 * low]! <= x ? low : -1;
}
