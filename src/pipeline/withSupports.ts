import type { PartLoads } from '../core/physics/partLoads.ts';
import { liquidVolume } from '../core/physics/resinAmounts.ts';
import type { SupportFacts } from '../core/supports/supportPlan.ts';
import type { LateDecisions } from './lateDecisions.ts';

/** What supports take of the bottle; the part’s own mass is what stands on the shelf, without them. */
export function withSupports(
  loads: PartLoads,
  { volumeMm3 }: SupportFacts,
  resin: LateDecisions['resin'],
): PartLoads {
  return {
    ...loads,
    curedMm3: loads.curedMm3 + volumeMm3,
    liquidMm3: loads.liquidMm3 + liquidVolume(volumeMm3, resin),
  };
}
