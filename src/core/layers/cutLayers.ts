import { layerLoads } from '../rays/layerLoads.ts';
import type { LayerInput } from './castLayers.ts';

/** Nanoseconds, measured: what a facet's cut, a crossing and a row cost to cast and to sweep. */
const COST = { cut: 20, crossing: 55, row: 12 };

/**
 * Where to cut a part's layers so that `parts` ranges take about equal time: ascending, from 0 to
 * the number of layers. A few milliseconds.
 */
export function cutLayers({ lattice, skin, cavity }: LayerInput, parts: number): number[] {
  const { layers, rows } = lattice;
  const loads = [skin, ...(cavity ? [cavity.mesh] : [])].map((mesh) => layerLoads(mesh, lattice));
  const done = new Float64Array(layers + 1);
  for (let layer = 0; layer < layers; layer++) {
    let cost = rows * COST.row;
    for (const { cuts, crossings } of loads)
      cost += cuts[layer]! * COST.cut + crossings[layer]! * COST.crossing;
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
