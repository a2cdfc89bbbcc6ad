import type { Vec3 } from '../vector.ts';

/** A place where the solid is thin: its least thickness, there, and how much of it (one side) is under the limit. */
export interface ThinPatch {
  readonly thicknessMm: number;
  readonly areaMm2: number;
  readonly at: Vec3;
}
