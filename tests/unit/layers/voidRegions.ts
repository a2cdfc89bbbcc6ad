import { intervalSets, labelIntervals, layerIntervals } from '../../../src/core/layers/labelIntervals.ts';
import type { LabelledVoid } from '../../../src/core/layers/voidGraph.ts';
import type { Runs } from '../../../src/core/rays/runs.ts';
import { type RunsByLayer, rowsOfLayer } from '../../../src/core/rays/runsByLayer.ts';
import { type VoidRuns, voidRuns } from '../../../src/core/rays/voidRuns.ts';

/** A region by layers as one set of rows. */
export function runsInOne(region: Runs | RunsByLayer): Runs {
  const { lattice } = region;
  const offsets = new Uint32Array(lattice.rows * lattice.layers + 1);
  const ends: number[] = [];
  for (let layer = 0; layer < lattice.layers; layer++) {
    const rows = rowsOfLayer(region, layer);
    for (let row = 0; row < lattice.rows; row++) {
      const last = 2 * rows.offsets[rows.base + row + 1]!;
      for (let i = 2 * rows.offsets[rows.base + row]!; i < last; i++) ends.push(rows.ends[i]!);
      offsets[layer * lattice.rows + row + 1] = ends.length >> 1;
    }
  }
  return { lattice, offsets, ends: new Float32Array(ends) };
}

/** All void runs of a part and the region of each. */
export function voidRegions(labels: LabelledVoid): { readonly runs: VoidRuns; readonly region: Uint32Array } {
  const { xLow, xHigh, regionStart } = labels;
  const solid = runsInOne(labels.solid);
  const { rows, layers } = solid.lattice;
  const region: number[] = [];
  const sets = intervalSets();
  const intervals = layerIntervals();
  for (let layer = 0; layer < layers; layer++) {
    const own = rowsOfLayer(solid, layer);
    labelIntervals(own, rows, xLow, xHigh, sets, intervals);
    let at = 0;
    for (let row = own.base; row < own.base + rows; row++) {
      const last = at + 2 * (own.offsets[row + 1]! - own.offsets[row]!);
      for (; at <= last; at += 2) region.push(regionStart[layer]! + intervals.label[at]!);
      at = last + 1;
    }
  }
  return { runs: voidRuns(solid, { xLow, xHigh }), region: new Uint32Array(region) };
}
