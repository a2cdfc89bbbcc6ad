import type { Vec3 } from '../vector.ts';
import type { AttitudeDrain } from './drainAttitude.ts';

/** How a chamber empties in the attitude in which it does so best, and what stays while it hangs as printed. mm³, s. */
export interface ChamberDrain extends AttitudeDrain {
  /** The attitude as degrees about x, then y, then z; `down` in it points to the ground. */
  readonly turn: Vec3;
  readonly hangingMm3: number;
  /** Diameter of a hole at the pond that would free it but for a tenth, by surface tension; mm. */
  readonly freeingMm: number | null;
}
