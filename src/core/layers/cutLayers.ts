import { uninterrupted } from '../interrupter.ts';
import { type LayerInput, spansOf } from './castLayers.ts';

/** Nanoseconds, measured: what a facet's cut, a crossing and a row cost to cast and to sweep. */
const COST = { cut: 20, crossing: 55, row: 12 };

/**
 * Where to cut a part's layers so that `parts` ranges take about equal time: ascending, from 0 to
 * the number of layers.
 */
export function cutLayers(input: LayerInput, parts: number): number[] {
  const { lattice, spans = spansOf(input, uninterrupted) } = input;
  const { layers, rows } = lattice;
  const done = new Float64Array(layers + 1);
  for (let layer = 0; layer < layers; layer++) {
    let cost = rows * COST.row;
    for (const one of [spans.skin, spans.cavity]) {
      if (one === null) continue;
      const { cuts, crossings } = one.loads;
      cost += cuts[layer]! * COST.cut + crossings[layer]! * COST.crossing;
    }
    done[layer + 1] = done[layer]! + cost;
  }
  const cuts = [0];
  let layer = 0;
  for (let part = 1; part < parts; part++) {
    while (layer < layers && done[layer]! < (done[layers]! * part) / parts) layer++;
    cuts.push(layer);
  }
  return [...cuts, layers];
}
