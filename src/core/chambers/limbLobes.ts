import type { Vec3 } from '../vector.ts';

/**
 * Which lobes the limbs of a posed part's hollows are made of, layer by layer: print frame, mm. Looked at
 * in some layers, a few cells apart: entries start[n] … start[n + 1] − 1 are those of layer[n], each a
 * limb, a lobe of it, and the area over which that lobe reaches the film there.
 */
export interface LimbLobes {
  readonly layer: Uint32Array;
  readonly start: Uint32Array;
  /** First region of the limb (`Limbs.fromPlate`), as `CupState.limb`. */
  readonly limb: Uint32Array;
  readonly lobe: Uint16Array;
  readonly areaMm2: Float64Array;
  readonly necks: readonly PrintNeck[];
}

/** A neck as it is printed: its sizes, and where its section stands. */
export interface PrintNeck {
  readonly a: number;
  readonly b: number;
  readonly at: Vec3;
  readonly direction: Vec3;
  readonly areaMm2: number;
  readonly hydraulicMm: number;
  readonly lengthMm: number;
  /** Where it has widened, in a and in b. */
  readonly ends: readonly [Vec3, Vec3];
}
