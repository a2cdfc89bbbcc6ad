import type { Machine } from '../kit/manifest.ts';
import type { PartFacts } from '../kit/partFacts.ts';
import { printTime } from '../physics/printTime.ts';
import { vatLowLayer } from '../physics/vatLowLayer.ts';

/** What a plate comes to, its parts together. N, mm³. */
export interface PlateLoads {
  readonly layers: number;
  readonly hours: number;
  /** By layer. */
  readonly pullN: Float64Array;
  readonly peakPullN: number;
  readonly peakPullLayer: number;
  /** The part that gives most of the peak, by its place in the list, and what it gives. */
  readonly strongest: { readonly part: number; readonly pullN: number };
  readonly curedMm3: number;
  readonly liquidMm3: number;
  readonly heldMm3: number;
  /** mm³ that are out of the vat when a layer is done. */
  readonly takenMm3: Float64Array;
  /** First layer at which the vat, filled once, is under its least safe level; null when never. */
  readonly vatLowLayer: number | null;
}

/**
 * Sums of what each part does. The film parts from all of them in one motion, so pulls of a layer add up; what
 * a finished part took from the vat, and holds, stays taken. The time is that of the tallest part.
 */
export function plateLoads(
  parts: readonly Pick<PartFacts, 'layers' | 'loads'>[],
  machine: Pick<Machine, 'lift' | 'exposure' | 'vat' | 'resinDepth' | 'leastResinDepth'>,
): PlateLoads {
  const layers = Math.max(0, ...parts.map((part) => part.layers.layers));
  const pullN = new Float64Array(layers);
  const takenMm3 = new Float64Array(layers);
  for (const { loads } of parts) {
    for (let layer = 0; layer < layers; layer++) {
      pullN[layer]! += loads.pullN[layer] ?? 0;
      takenMm3[layer]! += loads.takenMm3[layer] ?? loads.takenMm3.at(-1) ?? 0;
    }
  }
  const peakPullLayer = pullN.reduce((best, pull, layer) => (pull > pullN[best]! ? layer : best), 0);
  const shares = parts.map(({ loads }) => loads.pullN[peakPullLayer] ?? 0);
  const most = Math.max(0, ...shares);
  const sum = (key: 'curedMm3' | 'liquidMm3' | 'heldMm3'): number =>
    parts.reduce((total, { loads }) => total + loads[key], 0);
  return {
    layers,
    hours: printTime(layers, machine.lift, machine.exposure) / 3600,
    pullN,
    peakPullN: pullN[peakPullLayer] ?? 0,
    peakPullLayer,
    strongest: { part: Math.max(0, shares.indexOf(most)), pullN: most },
    curedMm3: sum('curedMm3'),
    liquidMm3: sum('liquidMm3'),
    heldMm3: sum('heldMm3'),
    takenMm3,
    vatLowLayer: vatLowLayer(takenMm3, machine),
  };
}
