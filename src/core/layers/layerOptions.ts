import type { Lattice } from '../rays/lattice.ts';
import { selfSupportReach } from './overhangs.ts';
import type { SweepLimits } from './sweepLayers.ts';

export interface LayerOptions {
  /** Degrees from the plate at which a slope carries itself. */
  readonly selfSupportDeg: number;
  /** A ceiling is told above this area and this span. */
  readonly ceilingMm2: number;
  readonly ceilingSpanMm: number;
}

export const sweepLimits = ({ dz }: Lattice, options: LayerOptions): SweepLimits => ({
  ceilingMm2: options.ceilingMm2,
  ceilingSpanMm: options.ceilingSpanMm,
  reach: selfSupportReach(dz, options.selfSupportDeg),
});
