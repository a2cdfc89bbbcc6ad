import type { OpeningFacts } from './opening.ts';
import { snapMm } from './placeOpening.ts';

export type OpeningVerdictCode =
  | 'opening-off-surface'
  | 'opening-misses-chamber'
  | 'opening-through'
  | 'opening-near-wall';

/** One thing wrong with an opening. Both figures in mm; `limit` is null when there is nothing to reach. */
export interface OpeningVerdict {
  readonly code: OpeningVerdictCode;
  readonly measured: number;
  readonly limit: number | null;
}

/** Coordinates are float32: at 300 mm they are 3e-5 mm apart, so what is just met may seem just missed. */
const TOLERANCE_MM = 1e-3;

/**
 * What is wrong with an opening by its measured facts. `hollow` tells whether the part has any
 * chamber: in a solid part there is none to miss. Off the surface: distance against the snap. Misses:
 * drilled depth against the depth at which the chamber starts. Through: drilled depth against the
 * depth of the chamber's far wall, or of the part's far side. Near a wall: clearance against radius.
 */
export function openingVerdicts(facts: OpeningFacts, hollow: boolean): OpeningVerdict[] {
  const { placed } = facts;
  if (placed === null) {
    return [
      { code: 'opening-off-surface', measured: facts.surfaceDistanceMm, limit: snapMm(facts.decision.kind) },
    ];
  }
  const verdicts: OpeningVerdict[] = [];
  if (hollow && facts.chamber === null) {
    verdicts.push({ code: 'opening-misses-chamber', measured: placed.depth, limit: facts.chamberDepthMm });
  }
  const far = (facts.chamber === null ? null : facts.farWallDepthMm) ?? facts.farSideDepthMm;
  if (far !== null && placed.depth > far + TOLERANCE_MM) {
    verdicts.push({ code: 'opening-through', measured: placed.depth, limit: far });
  }
  const clearance = facts.sideClearanceMm;
  if (facts.chamber !== null && clearance !== null && clearance < placed.radius - TOLERANCE_MM) {
    verdicts.push({ code: 'opening-near-wall', measured: clearance, limit: placed.radius });
  }
  return verdicts;
}
