import type { OpeningId } from '../openings/opening.ts';
import type { Vec3 } from '../vector.ts';

/** Where and how wide an opening of a chamber is, in the frame of the chamber's cells, mm. */
export interface MouthPlace {
  /** Middle of the mouth on the part's surface, and of the bore where it enters the chamber. */
  readonly outer: Vec3;
  readonly inner: Vec3;
  /** Unit vector into the part. */
  readonly axis: Vec3;
  readonly radius: number;
}

export interface ChamberMouth extends MouthPlace {
  readonly id: OpeningId;
}
