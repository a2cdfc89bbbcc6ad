import type { Interrupter } from '../interrupter.ts';
import type { Runs } from '../rays/runs.ts';
import type { LayerRows } from '../rays/runsByLayer.ts';
import { type GrowableFloats, growableFloats, pushPair } from './growable.ts';

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
  for (let layer = 1; layer < layers && reach < Number.POSITIVE_INFINITY; layer++) {
    const here = { offsets, ends, base: layer * rows };
    const below = { offsets, ends, base: (layer - 1) * rows };
    for (let row = 0; row < rows; row++) {
      if ((here.base + row) % ROWS_PER_CALL === 0) interrupter(layer / layers);
      overhangOfRow(here, below, rows, row, widths, carried, out);
      overhangOffsets[here.base + row + 1] = out.length >> 1;
    }
  }
  return { lattice, offsets: overhangOffsets, ends: out.values.slice(0, out.length) };
}

/** Appends the overhang of one row of a layer to `out`. `widths` are `rowWidths`, `carried` is scratch. */
export function overhangOfRow(
  { offsets, ends, base }: LayerRows,
  below: LayerRows,
  rows: number,
  row: number,
  widths: Float64Array,
  carried: GrowableFloats,
  out: GrowableFloats,
): void {
  const last = offsets[base + row + 1]!;
  const endsBelow = below.ends;
  let run = below.offsets[below.base + row]!;
  const lastBelow = below.offsets[below.base + row + 1]!;
  const same = widths[0]!;
  for (let own = offsets[base + row]!; own < last; own++) {
    const low = ends[2 * own]!;
    const high = ends[2 * own + 1]!;
    while (run < lastBelow && endsBelow[2 * run + 1]! + same < high) run++;
    // Walls as a rule: one run of the same row carries the whole run.
    if (run < lastBelow && endsBelow[2 * run]! - same <= low) continue;
    gatherCarried(below, rows, row, widths, low, high, carried);
    subtractCarried(low, high, carried, out);
  }
}

/** By how much a run m rows away carries to either side, mm; as many rows as carry at all. */
export function rowWidths(reach: number, dy: number, rows: number): Float64Array {
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
  { offsets, ends, base }: LayerRows,
  rows: number,
  inLayer: number,
  widths: Float64Array,
  low: number,
  high: number,
  carried: GrowableFloats,
): void {
  carried.length = 0;
  const firstRow = Math.max(0, inLayer - widths.length + 1);
  const lastRow = Math.min(rows - 1, inLayer + widths.length - 1);
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
