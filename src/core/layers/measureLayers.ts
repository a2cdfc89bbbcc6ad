import type { Interrupter } from '../interrupter.ts';
import type { LabelledRuns } from '../rays/labelledRuns.ts';
import type { Runs } from '../rays/runs.ts';
import { joinLayerSlices } from './joinLayerSlices.ts';
import type { LayerFigures } from './layerFigures.ts';
import { type LayerOptions, sweepLimits } from './layerOptions.ts';
import { sweepRuns } from './sweepRuns.ts';

/**
 * Areas, overhangs, islands and ceilings of every layer, from runs. `solid` is the part with its
 * cavity taken out and openings uncut, `cavity` what was taken out (null when solid), both of one
 * lattice in the print frame. The rules are stated in `islands.ts`, `overhangs.ts` and `ceilings.ts`.
 */
export function measureLayers(
  solid: Runs,
  cavity: Runs | null,
  options: LayerOptions,
  interrupter: Interrupter,
): LayerFigures {
  const labelled: LabelledRuns | null = cavity && {
    label: new Uint32Array(cavity.ends.length >> 1),
    ...cavity,
  };
  const slice = sweepRuns(solid, labelled, sweepLimits(solid.lattice, options), interrupter);
  return joinLayerSlices(solid.lattice, [slice], options).figures;
}
