import type { Machine } from '../kit/manifest.ts';

/**
 * First layer at which the resin stands less deep over the film than is safe, from the mm³ taken from
 * the vat by each layer (cured so far and held above the surface); null when never.
 *
 * Model: upright walls, so the depth falls from `resinDepth` in proportion to what is taken, and is 0
 * when the usable volume is used up. Filled once, full, at the start.
 */
export function vatLowLayer(
  takenMm3: Float64Array,
  machine: Pick<Machine, 'vat' | 'resinDepth' | 'leastResinDepth'>,
): number | null {
  const spare = machine.vat * 1000 * (1 - machine.leastResinDepth / machine.resinDepth);
  const layer = takenMm3.findIndex((taken) => taken > spare);
  return layer < 0 ? null : layer;
}
