import type { Interrupter } from '../core/interrupter.ts';
import type { LayerInput } from '../core/layers/castLayers.ts';
import type { LayerOptions } from '../core/layers/layerOptions.ts';
import { measureLayerRange } from '../core/layers/measureLayerRange.ts';

export interface LayerRange {
  readonly input: LayerInput;
  /** Layers from … to − 1. */
  readonly from: number;
  readonly to: number;
  readonly options: LayerOptions;
}

/** Every task that a job may share with an idle thread (`Hands`), by name. */
export const sharedTasks = {
  layerRange: ({ input, from, to, options }: LayerRange, interrupter: Interrupter) =>
    measureLayerRange(input, from, to, options, interrupter),
};

export type SharedTasks = typeof sharedTasks;
