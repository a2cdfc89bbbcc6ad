import type { LayersParams, LayerTable } from '../protocol/engineApi.ts';
import type { EngineContext } from './engineContext.ts';
import type { Measured } from './measureKit.ts';
import { measureSource } from './measureSource.ts';

/** `layers`: the curves of one part. */
export async function layerTable(
  { source, noCache }: LayersParams,
  context: EngineContext,
): Promise<LayerTable> {
  const { measured } = await measureSource<Measured>(source, noCache, context, 'measure');
  const { layers, loads, supports } = measured.facts;
  return {
    layerHeight: layers.layerHeight,
    areaMm2: loads.areaMm2,
    cupAreaMm2: loads.cupAreaMm2,
    pullN: loads.pullN,
    overhangMm2: layers.overhang,
    reserve: supports?.reserve ?? null,
  };
}
