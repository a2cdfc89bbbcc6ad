import type { Interrupter } from '../interrupter.ts';
import type { Lattice } from '../rays/lattice.ts';
import type { LayerRows } from '../rays/runsByLayer.ts';
import { type CeilingCandidate, type CeilingLimits, ceilingsOfLayer } from './ceilings.ts';
import { type GrowableFloats, growableFloats } from './growable.ts';
import { intervalSets, labelIntervals, layerIntervals } from './labelIntervals.ts';
import type { LayerSlice } from './layerSlice.ts';
import { layerSums, sumLayer } from './layerSums.ts';
import { overhangOfRow, rowWidths } from './overhangs.ts';
import { addToPair, clearPairs, createPairSums, type PairSums } from './pairSums.ts';
import {
  keepCeiling,
  keepContacts,
  keepPieces,
  keepRegions,
  keepStarts,
  type SweptLayer,
  sliceColumns,
  sliceOf,
} from './sliceColumns.ts';

const ROWS_PER_CALL = 1 << 15;

/** Rows of chambers, a label per run. */
export interface ChamberRows extends LayerRows {
  readonly label: Uint32Array;
}

/** Where the layers of a sweep come from, entered one by one from the plate up. */
export interface LayerSource {
  readonly lattice: Lattice;
  /** The x bounds of the void, see `voidBounds`. */
  readonly xLow: number;
  readonly xHigh: number;
  /**
   * Makes a layer ready. Rows of solid follow on those of the layer before in the same arrays, which
   * hold all layers entered so far; chambers of the layer before stay as they are.
   */
  enter(layer: number): EnteredLayer;
}

export interface EnteredLayer {
  readonly solid: LayerRows;
  readonly chambers: ChamberRows | null;
  /** mm of row within the skin and within chambers. */
  readonly skinLength: number;
  readonly chamberLength: number;
}

export interface SweepLimits extends CeilingLimits {
  /** How far solid reaches out over the layer below and carries itself, mm (`selfSupportReach`). */
  readonly reach: number;
}

/**
 * Measures the layers from … to − 1 of a source in one sweep from the plate up, each layer while it
 * is in the processor's cache: labels its solid and void, sums them up, looks at the layer below for
 * contacts and overhangs. The layer below `from` is swept too, for that look only. Nothing is
 * allocated by layer but the columns of the slice.
 */
export function sweepLayers(
  source: LayerSource,
  from: number,
  to: number,
  limits: SweepLimits,
  interrupter: Interrupter,
): LayerSlice {
  const { lattice, xLow, xHigh } = source;
  const columns = sliceColumns(from, to);
  const sets = intervalSets();
  const sums = layerSums();
  const chamberPairs = createPairSums();
  const overhang = overhangScratch(lattice, limits.reach);
  let intervals = layerIntervals();
  let spare = layerIntervals();
  let below: SweptLayer | null = null;
  let sinceCall = 0;
  for (let layer = Math.max(0, from - 1); layer < to; layer++) {
    sinceCall += lattice.rows;
    if (sinceCall > ROWS_PER_CALL) {
      sinceCall = 0;
      interrupter(Math.max(0, layer - from) / (to - from));
    }
    const entered = source.enter(layer);
    const { solid, chambers } = entered;
    labelIntervals(solid, lattice.rows, xLow, xHigh, sets, intervals);
    const here: SweptLayer = { layer, solid, chambers, intervals };
    if (layer >= from) {
      sumLayer(sums, solid, intervals, below?.solid ?? null, spare, lattice, xLow, xHigh);
      columns.skin[layer - from] = entered.skinLength * lattice.dy;
      columns.chambers[layer - from] = entered.chamberLength * lattice.dy;
      columns.solid[layer - from] = sums.solidLength * lattice.dy;
      if (chambers) sumChambers(chamberPairs, here, chambers, lattice.rows, xLow, xHigh);
      keepRegions(columns, sums, intervals.regions, lattice.dy, chamberPairs);
      keepPieces(columns, sums, intervals, lattice.dy);
      const regionsBelow = below === null ? 0 : spare.regions;
      const isStart = keepContacts(columns, sums.contacts, intervals, regionsBelow, lattice.dy);
      if (below !== null) {
        keepStarts(columns, here, below, sums, isStart, xLow, xHigh);
        const area = gatherOverhang(overhang, solid, below.solid, lattice);
        columns.overhang[layer - from] = area;
        // No piece of it is larger than the whole.
        if (area > limits.ceilingMm2) {
          for (const ceiling of ceilingsAbove(overhang, layer, lattice, limits)) {
            keepCeiling(columns, ceiling, here, below, isStart, xLow, xHigh);
          }
        }
      }
    }
    below = here;
    [intervals, spare] = [spare, intervals];
  }
  return sliceOf(columns, from, to, rowsFrom(below, from, lattice.rows), xLow, xHigh);
}

/** Where the rows of layer `from` stand in the arrays that hold those of the last layer swept. */
function rowsFrom(last: SweptLayer | null, from: number, rows: number): LayerRows {
  if (last === null) return { offsets: new Uint32Array(1), ends: new Float32Array(0), base: 0 };
  return { ...last.solid, base: last.solid.base - (last.layer - from) * rows };
}

interface OverhangScratch {
  readonly widths: Float64Array;
  readonly offsets: Uint32Array;
  readonly runs: GrowableFloats;
  readonly carried: GrowableFloats;
}

function overhangScratch({ dy, rows }: Lattice, reach: number): OverhangScratch {
  return {
    // An endless reach carries everything.
    widths: reach < Number.POSITIVE_INFINITY ? rowWidths(reach, dy, rows) : new Float64Array(0),
    offsets: new Uint32Array(rows + 1),
    runs: growableFloats(),
    carried: growableFloats(),
  };
}

/** The overhang of a layer by row; returns its area, mm². */
function gatherOverhang(
  { widths, offsets, runs, carried }: OverhangScratch,
  here: LayerRows,
  below: LayerRows,
  { rows, dy }: Lattice,
): number {
  runs.length = 0;
  if (widths.length === 0) return 0;
  for (let row = 0; row < rows; row++) {
    overhangOfRow(here, below, rows, row, widths, carried, runs);
    offsets[row + 1] = runs.length >> 1;
  }
  let length = 0;
  for (let i = 0; i < runs.length; i += 2) length += runs.values[i + 1]! - runs.values[i]!;
  return length * dy;
}

function ceilingsAbove(
  { offsets, runs }: OverhangScratch,
  layer: number,
  lattice: Lattice,
  limits: CeilingLimits,
): CeilingCandidate[] {
  const ends = runs.values.subarray(0, runs.length);
  return ceilingsOfLayer({ lattice: { ...lattice, layers: 1 }, offsets, ends }, layer, limits);
}

/** Overlaps (mm of row) of the layer's void regions with chambers. */
function sumChambers(
  pairs: PairSums,
  { solid, intervals }: SweptLayer,
  chambers: ChamberRows,
  rows: number,
  xLow: number,
  xHigh: number,
): void {
  clearPairs(pairs);
  const { offsets, ends, base } = solid;
  const { label } = intervals;
  const firstEnd = 2 * offsets[base]!;
  let entry = 0;
  for (let row = 0; row < rows; row++) {
    let chamber = chambers.offsets[chambers.base + row]!;
    const lastChamber = chambers.offsets[chambers.base + row + 1]!;
    if (chamber === lastChamber) continue;
    const start = 2 * offsets[base + row]!;
    const count = 2 * offsets[base + row + 1]! - start;
    const at = start - firstEnd + row;
    let i = 0;
    while (i <= count && chamber < lastChamber) {
      const low = i > 0 ? ends[start + i - 1]! : xLow;
      const high = i < count ? ends[start + i]! : xHigh;
      const chamberLow = chambers.ends[2 * chamber]!;
      const chamberHigh = chambers.ends[2 * chamber + 1]!;
      const overlap = Math.min(high, chamberHigh) - Math.max(low, chamberLow);
      if (overlap > 0) {
        const region = label[at + i]!;
        const name = chambers.label[chamber]!;
        // The pair met last, as a rule.
        if (entry < pairs.count && pairs.first[entry] === region && pairs.second[entry] === name) {
          pairs.sum[entry]! += overlap;
        } else entry = addToPair(pairs, region, name, overlap);
      }
      if (high < chamberHigh) i += 2;
      else chamber++;
    }
  }
}
