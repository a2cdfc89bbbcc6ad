import { combineRuns, FIRST_ONLY } from './combineRuns.ts';
import type { Runs } from './runs.ts';

/** The part of `from` outside `removed`; both of one lattice. */
export const subtractRuns = (from: Runs, removed: Runs): Runs => combineRuns(from, removed, FIRST_ONLY);
