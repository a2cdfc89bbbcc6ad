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
}
