import type { Interrupter } from '../interrupter.ts';
import { castLayers, type LayerInput } from './castLayers.ts';
import { type LayerOptions, sweepLimits } from './layerOptions.ts';
import type { LayerSlice } from './layerSlice.ts';
import { sweepLayers } from './sweepLayers.ts';

/**
 * All that is measured of the layers from … to − 1 of a posed part: rays, solid, voids, contacts,
 * islands' starts, overhangs. Slices that cover all layers give the same bits wherever they meet
 * (`joinLayerSlices`), so they can be made on as many threads as there are; `cutLayers` says where
 * to cut. Meshes from outside have passed `checkGridLoad`. It holds 4 bytes a crossing and a
 * row, and 4 more a facet and a corner while it works.
 */
export function measureLayerRange(
  input: LayerInput,
  from: number,
  to: number,
  options: LayerOptions,
  interrupter: Interrupter,
): LayerSlice {
  const source = castLayers(input, Math.max(0, from - 1), to, interrupter);
  return sweepLayers(source, from, to, sweepLimits(input.lattice, options), interrupter);
}
