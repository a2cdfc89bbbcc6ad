import type { PlacedOpening } from '../openings/opening.ts';
import type { Runs } from '../rays/runs.ts';
import { subtractRuns } from '../rays/subtractRuns.ts';
import { openingsAsRuns } from './cutSolid.ts';

/** The solid with its openings cut. A pass over the whole grid: for areas alone use `cutAreas`. */
export const subtractOpenings = (solid: Runs, openings: readonly PlacedOpening[]): Runs =>
  subtractRuns(solid, openingsAsRuns(openings, solid.lattice));
