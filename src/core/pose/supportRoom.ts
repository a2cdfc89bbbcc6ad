import { raiseForSupports } from '../supports/raiseForSupports.ts';
import type { SupportDecision } from '../supports/supportDecision.ts';
import { widestReach } from '../supports/widestReach.ts';

/** The room that supports take under a part and round it, before any of them is planned. */
export interface SupportRoom {
  /** How high the part's lowest point must be above the plate, mm. */
  readonly raiseMm: number;
  /** From a place that is held to the edge of the raft under it, along the plate, mm. */
  readonly reachMm: number;
  /** N per mm² of what stands on the plate by itself, up to which it needs none. */
  readonly holdN: number;
}

/** Room for the supports of a part, planned or not. `greenStrength` in MPa. */
export const supportRoom = (decision: SupportDecision, greenStrength: number): SupportRoom => ({
  raiseMm: raiseForSupports(decision),
  reachMm: widestReach(decision, greenStrength),
  holdN: (decision.plateHold * 1e-3) / decision.safety,
});
