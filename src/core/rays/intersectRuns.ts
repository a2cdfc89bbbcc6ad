import { BOTH, combineRuns } from './combineRuns.ts';
import type { Runs } from './runs.ts';

/** What both regions share; both of one lattice. */
export const intersectRuns = (first: Runs, second: Runs): Runs => combineRuns(first, second, BOTH);
