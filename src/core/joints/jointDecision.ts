import type { RodMetal } from '../physics/rodMetals.ts';
import type { Vec3 } from '../vector.ts';

/** What the builder decided about one joint. */
export interface JointDecision {
  readonly name: string;
  /** Two, as a rule; as written, so they need not be parts of the kit. */
  readonly parts: readonly string[];
  readonly pin: PinDecision | null;
  readonly clearance: ClearanceDecision | null;
}

/** A gap that is made by taking from one of the two parts. */
export interface ClearanceDecision {
  /** mm, all round. */
  readonly mm: number;
  /** The part that is taken from, as written; null = the socket, and where there is none the second part named. */
  readonly give: string | null;
}

/** A rod that carries the joint. */
export interface PinDecision {
  readonly metal: RodMetal;
  /** MPa, by the rod's data sheet; null = the handbook's. */
  readonly yieldMpa: number | null;
  /** mm; null = as thick as it must be. */
  readonly diameter: number | null;
  /** mm into each part; null = as deep as it must be. */
  readonly depth: number | null;
  /** How many times its load it must bear, and how many times its weight is the load as the figure is handled. */
  readonly safety: number;
  readonly handling: number;
  /** Added to the rod's diameter for its holes, mm. */
  readonly clearance: number;
  /** Source coordinates; null = the middle of the joint's largest region. */
  readonly at: Vec3 | null;
}
