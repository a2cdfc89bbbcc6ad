import type { OpeningId, PlacedOpening } from './opening.ts';

/** How an opening is closed after curing, as the builder decided it. Print mm. */
export interface StopperDecision {
  readonly opening: OpeningId;
  /** Gap to the bore all round at the mouth. */
  readonly clearance: number;
  /** Degrees by which its side leans inward of the bore's. */
  readonly taper: number;
  /** How far it reaches beyond the wall into the chamber. */
  readonly lip: number;
}

/** A stopper as fitted to its bore: its outside is the sculpt's, its inner end flat. Print frame, mm. */
export interface Stopper {
  readonly opening: OpeningId;
  readonly bore: Pick<PlacedOpening, 'mouth' | 'axis' | 'radius' | 'outward'>;
  readonly clearanceMm: number;
  readonly taperDeg: number;
  /** Depth of the outside's lowest point in the bore: down to it the sides are straight, so that the gap to be seen is the clearance. */
  readonly straightMm: number;
  /** From the mouth along the axis to the flat inner end. */
  readonly depthMm: number;
  /** What was done otherwise than asked, a sentence each. */
  readonly notes: readonly string[];
}

/** An opening that gets no stopper; the reason goes on from “no stopper: ”. */
export interface NoStopper {
  readonly opening: OpeningId;
  readonly reason: string;
}
