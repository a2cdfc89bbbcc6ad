import type { Vec3 } from '../vector.ts';
import type { Mouth } from './mouthPlan.ts';

/** Where a limb is looked at: while layer `layer` is made. mm, print frame. */
export interface LimbLook {
  readonly layer: number;
  /** A run of the columns that belongs to the limb. */
  readonly seed: number;
  readonly seedColumn: number;
  /** Of the film over it. */
  readonly areaMm2: number;
  readonly mouths: readonly Mouth[];
  /** The two ends of each neck: what the neck itself takes is reckoned elsewhere, so they count as one place. */
  readonly necks: readonly (readonly [Vec3, Vec3])[];
}
