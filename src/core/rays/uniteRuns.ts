import { BOTH, combineRuns, FIRST_ONLY, SECOND_ONLY } from './combineRuns.ts';
import type { Runs } from './runs.ts';

/** Everything in either region; both of one lattice. */
export const uniteRuns = (first: Runs, second: Runs): Runs =>
  combineRuns(first, second, FIRST_ONLY | SECOND_ONLY | BOTH);
