import type { OpeningId } from '../openings/opening.ts';
import type { Vec3 } from '../vector.ts';

/** An opening of a chamber in the frame of the chamber's cells, mm. */
export interface ChamberMouth {
  readonly id: OpeningId;
  /** Middle of the mouth on the part's surface, and of the bore where it enters the chamber. */
  readonly outer: Vec3;
  readonly inner: Vec3;
  /** Unit vector into the part. */
  readonly axis: Vec3;
  readonly radius: number;
}
