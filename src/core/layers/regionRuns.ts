import { rowY } from '../rays/lattice.ts';
import { rowsOfLayer } from '../rays/runsByLayer.ts';
import { intervalSets, labelIntervals, layerIntervals } from './labelIntervals.ts';
import type { LabelledVoid } from './voidGraph.ts';

/** A run of a region along x. Print frame, mm. */
export interface RegionRun {
  readonly y: number;
  readonly low: number;
  readonly high: number;
}

/** The runs that a void region of a layer is made of, row after row; empty where the layer has none of that number. */
export function regionRuns(region: number, layer: number, labels: LabelledVoid): RegionRun[] {
  const { solid, xLow, xHigh, regionStart } = labels;
  const { lattice } = solid;
  const { offsets, ends, base } = rowsOfLayer(solid, layer);
  const intervals = layerIntervals();
  labelIntervals({ offsets, ends, base }, lattice.rows, xLow, xHigh, intervalSets(), intervals);
  const wanted = region - regionStart[layer]!;
  const runs: RegionRun[] = [];
  for (let row = 0; row < lattice.rows; row++) {
    const start = 2 * offsets[base + row]!;
    const count = 2 * offsets[base + row + 1]! - start;
    const at = start - 2 * offsets[base]! + row;
    // Void and solid by turns, void first.
    for (let i = 0; i <= count; i += 2) {
      if (intervals.label[at + i] !== wanted) continue;
      const low = i === 0 ? xLow : ends[start + i - 1]!;
      const high = i === count ? xHigh : ends[start + i]!;
      runs.push({ y: rowY(lattice, row), low, high });
    }
  }
  return runs;
}
