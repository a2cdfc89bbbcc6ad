import type { Interrupter } from '../../src/core/interrupter.ts';
import { type GrowableFloats, growableFloats, pushPair } from '../../src/core/layers/growable.ts';
import type { Runs } from '../../src/core/rays/runs.ts';

const ROWS_PER_CALL = 1 << 17;
/** mm. Ends are float32 at up to about 200 mm, so a supported end may seem this much further out. */
const ROUNDING = 1e-4;

/** How far solid reaches out over the layer below and still carries itself, mm: layer height / tan(angle from the plate). */
export function selfSupportReach(layerHeight: number, selfSupportDeg: number): number {
  return selfSupportDeg <= 0
    ? Number.POSITIVE_INFINITY
    : layerHeight / Math.tan((selfSupportDeg * Math.PI) / 180);
}

/**
 * The solid of each layer that lies further than `reach` (mm, see `selfSupportReach`) from all
 * solid of the layer below; layer 0 has none. Islands are part of it.
 *
 * Distance is exact along a row. Across rows, the layer below is known on its rows only: a point
 * of it between rows m − 1 and m away shows at the latest on row m, so row m (whole rows, up to
 * ceil(reach/dy)) is widened by √(reach² − ((m−1)·dy)²). A straight front of any direction that
 * moves at most `reach` a layer is thereby never called an overhang; up to one row of a true
 * overhang's rim may be let off. At a corner sharper than a row, a sliver within one row can remain.
 */
export function overhangRuns(solid: Runs, reach: number, interrupter: Interrupter): Runs {
  const { lattice, offsets, ends } = solid;
  const { rows, layers, dy } = lattice;
  const widths = rowWidths(reach, dy, rows);
  const overhangOffsets = new Uint32Array(offsets.length);
  const out = growableFloats();
  const carried = growableFloats();
  const same = widths[0]!;
  for (let layer = 1; layer < layers && reach < Number.POSITIVE_INFINITY; layer++) {
    for (let inLayer = 0; inLayer < rows; inLayer++) {
      const row = layer * rows + inLayer;
      if (row % ROWS_PER_CALL === 0) interrupter(layer / layers);
      const last = offsets[row + 1]!;
      let below = offsets[row - rows]!;
      const belowEnd = offsets[row - rows + 1]!;
      for (let run = offsets[row]!; run < last; run++) {
        const low = ends[2 * run]!;
        const high = ends[2 * run + 1]!;
        while (below < belowEnd && ends[2 * below + 1]! + same < high) below++;
        // Walls as a rule: one run of the same row carries the whole run.
        if (below < belowEnd && ends[2 * below]! - same <= low) continue;
        gatherCarried(solid, layer - 1, inLayer, widths, low, high, carried);
        subtractCarried(low, high, carried, out);
      }
      overhangOffsets[row + 1] = out.length >> 1;
    }
  }
  return { lattice, offsets: overhangOffsets, ends: out.values.slice(0, out.length) };
}

/** By how much a run m rows away carries to either side; as many rows as carry at all. */
function rowWidths(reach: number, dy: number, rows: number): Float64Array {
  const count = Math.min(rows, Math.ceil(reach / dy - 1e-9)) + 1;
  const widths = new Float64Array(count);
  for (let m = 0; m < count; m++) {
    const inner = Math.max(0, m - 1) * dy;
    widths[m] = Math.sqrt(Math.max(0, reach * reach - inner * inner)) + ROUNDING;
  }
  return widths;
}

/** All widened runs around a row of a layer that meet [low, high], sorted by start. */
function gatherCarried(
  { lattice, offsets, ends }: Runs,
  layer: number,
  inLayer: number,
  widths: Float64Array,
  low: number,
  high: number,
  carried: GrowableFloats,
): void {
  carried.length = 0;
  const base = layer * lattice.rows;
  const firstRow = Math.max(0, inLayer - widths.length + 1);
  const lastRow = Math.min(lattice.rows - 1, inLayer + widths.length - 1);
  for (let other = firstRow; other <= lastRow; other++) {
    const width = widths[Math.abs(other - inLayer)]!;
    const end = offsets[base + other + 1]!;
    for (let run = firstReaching(ends, offsets[base + other]!, end, low - width); run < end; run++) {
      if (ends[2 * run]! - width >= high) break;
      insertSorted(carried, ends[2 * run]! - width, ends[2 * run + 1]! + width);
    }
  }
}

/** The first run of from…to that ends beyond x. */
function firstReaching(ends: Float32Array, from: number, to: number, x: number): number {
  let low = from;
  let high = to;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ends[2 * middle + 1]! <= x) low = middle + 1;
    else high = middle;
  }
  return low;
}

function insertSorted(list: GrowableFloats, low: number, high: number): void {
  pushPair(list, low, high);
  let at = list.length - 2;
  const { values } = list;
  while (at > 0 && values[at - 2]! > low) {
    values[at] = values[at - 2]!;
    values[at + 1] = values[at - 1]!;
    at -= 2;
  }
  values[at] = low;
  values[at + 1] = high;
}

function subtractCarried(low: number, high: number, carried: GrowableFloats, out: GrowableFloats): void {
  let free = low;
  for (let i = 0; i < carried.length; i += 2) {
    if (carried.values[i]! > free) pushPair(out, free, Math.min(high, carried.values[i]!));
    free = Math.max(free, carried.values[i + 1]!);
    if (free >= high) return;
  }
  pushPair(out, free, high);
}
