import type { Interrupter } from '../interrupter.ts';
import type { LabelledRuns } from '../rays/labelledRuns.ts';
import type { Runs } from '../rays/runs.ts';
import { boundsOfRuns } from '../rays/voidRuns.ts';
import type { LayerSlice } from './layerSlice.ts';
import { type SweepLimits, sweepLayers } from './sweepLayers.ts';

/** Measures all layers of a region whose runs are at hand: the one slice of them. */
export function sweepRuns(
  solid: Runs,
  cavity: LabelledRuns | null,
  limits: SweepLimits,
  interrupter: Interrupter,
): LayerSlice {
  const { lattice } = solid;
  const rowsOf = <T extends Runs>(runs: T, layer: number) => ({ ...runs, base: layer * lattice.rows });
  const source = {
    lattice,
    ...boundsOfRuns(solid),
    enter: (layer: number) => ({
      solid: rowsOf(solid, layer),
      chambers: cavity && rowsOf(cavity, layer),
      skinLength: 0,
      chamberLength: 0,
    }),
  };
  return sweepLayers(source, 0, lattice.layers, limits, interrupter);
}
