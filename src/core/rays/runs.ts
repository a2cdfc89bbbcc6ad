import type { Lattice } from './lattice.ts';

/**
 * A region as disjoint intervals along the rays of a lattice: run r of row i covers
 * x ∈ [ends[2r], ends[2r+1]] for r in offsets[i] … offsets[i+1], ascending, never touching, never
 * empty. Area of a layer = Σ lengths · dy; volume = Σ areas · dz.
 */
export interface Runs {
  readonly lattice: Lattice;
  readonly offsets: Uint32Array;
  readonly ends: Float32Array;
}
