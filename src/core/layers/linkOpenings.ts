import type { PlacedOpening } from '../openings/opening.ts';
import type { Lattice } from '../rays/lattice.ts';
import { rowsOfLayer } from '../rays/runsByLayer.ts';
import {
  type IntervalSets,
  intervalSets,
  type LayerIntervals,
  labelIntervals,
  layerIntervals,
} from './labelIntervals.ts';
import type { OpeningLink } from './openingLinks.ts';
import { type OpeningRuns, openingRuns } from './openingRuns.ts';
import type { LabelledVoid } from './voidGraph.ts';

/**
 * What each opening touches of the void, layer by layer. A region is touched when the cutter's
 * interval on some row overlaps a run of it.
 *
 * For touching, the cutter reaches |ay|·dy + |az|·dz further out than it cuts: a mouth on a flat
 * face that lies between two sample planes would otherwise end before the first sample of the
 * outside, and an opening in a level underside would never be seen to open. Nothing thinner than
 * that lies before a mouth by the placing rules.
 */
export function linkOpenings(openings: readonly PlacedOpening[], labels: LabelledVoid): OpeningLink[] {
  const scratch = { sets: intervalSets(), intervals: layerIntervals() };
  return openings.map((opening) => linkOpening(opening, labels, scratch));
}

interface LabelScratch {
  readonly sets: IntervalSets;
  readonly intervals: LayerIntervals;
}

function linkOpening(opening: PlacedOpening, labels: LabelledVoid, scratch: LabelScratch): OpeningLink {
  const { lattice } = labels.solid;
  const { axis } = opening;
  const sampleReach = Math.abs(axis[1]) * lattice.dy + Math.abs(axis[2]) * lattice.dz;
  const touching = openingRuns(opening, lattice, sampleReach);
  const regionStart = new Uint32Array(touching.layers + 1);
  const regions: number[] = [];
  const found = new Set<number>();
  for (let i = 0; i < touching.layers; i++) {
    found.clear();
    collectRegions(touching, i, labels, scratch, found);
    regions.push(...[...found].sort((a, b) => a - b));
    regionStart[i + 1] = regions.length;
  }
  return {
    firstLayer: touching.firstLayer,
    regionStart,
    regions: Uint32Array.from(regions),
    opensAbove: reachesAbove(opening, sampleReach, lattice),
  };
}

function collectRegions(
  touching: OpeningRuns,
  i: number,
  labels: LabelledVoid,
  scratch: LabelScratch,
  found: Set<number>,
): void {
  const layer = touching.firstLayer + i;
  const { xLow, xHigh } = labels;
  const solid = rowsOfLayer(labels.solid, layer);
  const { offsets, ends, base } = solid;
  labelIntervals(solid, labels.solid.lattice.rows, xLow, xHigh, scratch.sets, scratch.intervals);
  const { label } = scratch.intervals;
  const firstRegion = labels.regionStart[layer]!;
  for (let j = 0; j < touching.rows; j++) {
    const low = touching.low[i * touching.rows + j]!;
    const high = touching.high[i * touching.rows + j]!;
    if (!(high > low)) continue;
    const row = touching.firstRow + j;
    const start = 2 * offsets[base + row]!;
    const count = 2 * offsets[base + row + 1]! - start;
    const at = start - 2 * offsets[base]! + row;
    for (let v = 0; v <= count; v += 2) {
      const voidLow = v > 0 ? ends[start + v - 1]! : xLow;
      const voidHigh = v < count ? ends[start + v]! : xHigh;
      if (voidLow >= high) break;
      if (voidHigh > low) found.add(firstRegion + label[at + v]!);
    }
  }
}

/** Whether the mouth's centre, with the reach for touching, lies above the top of the last layer. */
function reachesAbove(
  { mouth, axis, outward }: PlacedOpening,
  sampleReach: number,
  lattice: Lattice,
): boolean {
  return mouth[2] - axis[2] * (outward + sampleReach) > lattice.z0 + lattice.layers * lattice.dz;
}
