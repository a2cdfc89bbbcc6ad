import { tipStrength } from '../physics/tipStrength.ts';
import { footRadius, raftLip } from '../supports/foot.ts';
import type { SupportDecision } from '../supports/supportDecision.ts';

/** The room that supports take under a part and round it, before any of them is planned. */
export interface SupportRoom {
  /** How high the part's lowest point must be above the plate, mm. */
  readonly raiseMm: number;
  /** From a place that is held to the edge of the raft under it, along the plate, mm. */
  readonly reachMm: number;
  /** N per mm² of what stands on the plate by itself, up to which it needs none. */
  readonly holdN: number;
}

/** Between the raft and the part, as high as a tip’s cone is, mm. */
const TIPS_MM = 2;

/**
 * Room for the supports of a part, planned or not. The reach is that of a foot under the widest tip that is planned, at all that
 * it can bear: the plan lets no foot stand nearer to the plate's edge. `greenStrength` in MPa.
 */
export function supportRoom(decision: SupportDecision, greenStrength: number): SupportRoom {
  const { raft, plateHold, safety, widestTip, byHand } = decision;
  const widestMm = Math.max(widestTip, ...byHand.map(({ tip }) => tip ?? 0));
  const strongest = tipStrength(widestMm * 1e-3, greenStrength * 1e6);
  return {
    raiseMm: raft + TIPS_MM,
    reachMm: footRadius(strongest, decision) + raftLip(decision),
    holdN: (plateHold * 1e-3) / safety,
  };
}
