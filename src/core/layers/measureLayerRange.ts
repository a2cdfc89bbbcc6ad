import { type Interrupter, portion } from '../interrupter.ts';
import { castLayers, type LayerInput } from './castLayers.ts';
import { type LayerOptions, sweepLimits } from './layerOptions.ts';
import type { LayerSlice } from './layerSlice.ts';
import { sweepLayers } from './sweepLayers.ts';

/**
 * All that is measured of the layers from … to − 1 of a posed part: rays, solid, voids, contacts,
 * islands' starts, overhangs. Slices that cover all layers give the same bits wherever they meet
 * (`joinLayerSlices`), so they can be made on as many threads as there are; `cutLayers` says where
 * to cut. Meshes from outside have passed `checkGridLoad`. Memory while it works: 8 bytes a crossing
 * of the skin, 12 a crossing of the cavity, 4 more each for the slice and about 16 a row.
 */
export function measureLayerRange(
  input: LayerInput,
  from: number,
  to: number,
  options: LayerOptions,
  interrupter: Interrupter,
): LayerSlice {
  const source = castLayers(input, Math.max(0, from - 1), to, portion(interrupter, 0, 0.45));
  return sweepLayers(source, from, to, sweepLimits(input.lattice, options), portion(interrupter, 0.45, 1));
}
