import { tipStrength } from '../physics/tipStrength.ts';
import { footRadius, raftLip } from './foot.ts';
import type { SupportDecision } from './supportDecision.ts';

/**
 * From a place that is held to the edge of the raft under it, mm: of the foot under the widest tip there may be, at all
 * that this can bear. No foot stands nearer to the plate's edge. `greenStrength` in MPa.
 */
export function widestReach(decision: SupportDecision, greenStrength: number): number {
  const widestMm = Math.max(decision.widestTip, ...decision.byHand.map(({ tip }) => tip ?? 0));
  const strongest = tipStrength(widestMm * 1e-3, greenStrength * 1e6);
  return footRadius(strongest, decision) + raftLip(decision);
}
