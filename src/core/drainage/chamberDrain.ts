import type { Vec3 } from '../vector.ts';
import type { AttitudeDrain } from './drainAttitude.ts';

/**
 * How a chamber empties as it is held for the wash: as the builder asks, or else in the attitude in which
 * it does so best. mm³, s.
 */
export interface ChamberDrain extends AttitudeDrain {
  /** The attitude as degrees about x, then y, then z; `down` in it points to the ground. */
  readonly turn: Vec3;
  /** The best attitude found, where the builder asks for another one that leaves more. */
  readonly better: { readonly turn: Vec3; readonly leftMm3: number } | null;
  /** What stays while it hangs as printed, with what surface tension holds. */
  readonly hangingMm3: number;
  /** Diameter of a hole at the pond that would free it in some minutes, but for what surface tension holds there; mm. */
  readonly freeingMm: number | null;
  /** Where no air comes in dependably: diameter from which one of its openings would let it in, held sideways; mm. */
  readonly airingMm: number | null;
}

/** The same on the posed part: the pond's place in the print frame, and what points down there. */
export interface PosedDrain extends ChamberDrain {
  readonly downInPrint: Vec3;
}
