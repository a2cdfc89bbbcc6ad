import { rowsOfLayer } from '../rays/runsByLayer.ts';
import type { Vec3 } from '../vector.ts';
import { intervalSets, labelIntervals, layerIntervals } from './labelIntervals.ts';
import type { LabelledVoid } from './voidGraph.ts';

/**
 * The void region at each of some points in the print frame; −1 where the point lies in solid or beyond the
 * lattice. Layers are labelled once each, so points may come in any order.
 */
export function regionsAt(points: readonly Vec3[], labels: LabelledVoid): Int32Array {
  const { lattice } = labels.solid;
  const found = new Int32Array(points.length).fill(-1);
  const byLayer = new Map<number, number[]>();
  points.forEach(([, , z], n) => {
    const layer = Math.floor((z - lattice.z0) / lattice.dz);
    if (layer < 0 || layer >= lattice.layers) return;
    const others = byLayer.get(layer);
    if (others) others.push(n);
    else byLayer.set(layer, [n]);
  });
  const sets = intervalSets();
  const intervals = layerIntervals();
  for (const [layer, numbers] of byLayer) {
    const solid = rowsOfLayer(labels.solid, layer);
    labelIntervals(solid, lattice.rows, labels.xLow, labels.xHigh, sets, intervals);
    for (const n of numbers) {
      const [x, y] = points[n]!;
      const row = Math.floor((y - lattice.y0) / lattice.dy);
      if (row < 0 || row >= lattice.rows) continue;
      const start = 2 * solid.offsets[solid.base + row]!;
      const count = 2 * solid.offsets[solid.base + row + 1]! - start;
      let passed = 0;
      while (passed < count && solid.ends[start + passed]! <= x) passed++;
      // Void and solid by turns, void first.
      if (passed % 2 === 1) continue;
      const at = start - 2 * solid.offsets[solid.base]! + row + passed;
      found[n] = labels.regionStart[layer]! + intervals.label[at]!;
    }
  }
  return found;
}
