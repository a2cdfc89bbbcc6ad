import type { Lattice } from './lattice.ts';

/**
 * Sorted, signed crossings of a surface with the rays of a lattice (dexels). The crossings of row i
 * (`rowIndex`) are `offsets[i] … offsets[i+1]`, ascending in x. `jump` is +1 where the ray goes in
 * (facet normal against +x), −1 where it comes out; the running sum is the winding number.
 */
export interface RayGrid {
  readonly lattice: Lattice;
  readonly offsets: Uint32Array;
  readonly x: Float32Array;
  readonly jump: Int8Array;
  /** The facet crossed, parallel to `x`, when asked for. */
  readonly facet?: Uint32Array;
}
