import type { Vec3 } from '../vector.ts';

/** A support that the builder has placed himself. */
export interface HandPlaced {
  /** Its place in the manifest's list. */
  readonly index: number;
  /** On the underside that it holds, or within 2 mm below or above; source coordinates. */
  readonly at: Vec3;
  /** Least width of its tip in print, mm; null = as those that are planned. */
  readonly tip: number | null;
}

/** A ball in which no planned tip touches the part. */
export interface KeptFree {
  /** Source coordinates. */
  readonly at: Vec3;
  /** Print mm. */
  readonly radius: number;
}

/** How a builder wants a part held. Lengths mm. */
export interface SupportDecision {
  /** Least and greatest width of a tip where it touches the part. */
  readonly tip: number;
  readonly widestTip: number;
  /** How far tips stand from each other under an overhang, about. */
  readonly spacing: number;
  /** Least width of a strut. */
  readonly strut: number;
  /** kPa that the plate holds of what is printed on it. */
  readonly plateHold: number;
  /** How many times its load everything must be able to take. */
  readonly safety: number;
  /** Thickness of the raft. */
  readonly raft: number;
  /** How far its edge leans out from upright, degrees. */
  readonly raftLean: number;
  readonly byHand: readonly HandPlaced[];
  readonly keepFree: readonly KeptFree[];
}
