import type { PartLoads } from '../core/physics/partLoads.ts';
import { liquidVolume } from '../core/physics/resinAmounts.ts';
import { vatLowLayer } from '../core/physics/vatLowLayer.ts';
import { barsByLayer } from '../core/supports/barsByLayer.ts';
import type { Bar } from '../core/supports/supportBodies.ts';
import type { SupportFacts } from '../core/supports/supportPlan.ts';
import type { LateDecisions } from './lateDecisions.ts';

/** What supports, made of `bars`, take of the bottle and of the vat; the part’s own mass is what stands on the shelf, without them. */
export function withSupports(
  loads: PartLoads,
  { volumeMm3 }: Pick<SupportFacts, 'volumeMm3'>,
  bars: readonly Bar[],
  layerHeight: number,
  { resin, machine }: Pick<LateDecisions, 'resin' | 'machine'>,
): PartLoads {
  let below = 0;
  const own = barsByLayer(bars, loads.takenMm3.length, layerHeight);
  const takenMm3 = loads.takenMm3.map((taken, layer) => {
    below += own[layer]!;
    return taken + liquidVolume(below, resin);
  });
  return {
    ...loads,
    curedMm3: loads.curedMm3 + volumeMm3,
    liquidMm3: loads.liquidMm3 + liquidVolume(volumeMm3, resin),
    takenMm3,
    vatLowLayer: vatLowLayer(takenMm3, machine),
  };
}
