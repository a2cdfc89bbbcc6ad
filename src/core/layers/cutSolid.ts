import type { PlacedOpening } from '../openings/opening.ts';
import { type Lattice, rowIndex } from '../rays/lattice.ts';
import type { Runs } from '../rays/runs.ts';
import { type LayerRows, type RunsByLayer, rowsOfLayer } from '../rays/runsByLayer.ts';
import { type GrowableFloats, growableFloats, pushPair } from './growable.ts';
import { type OpeningRuns, openingRuns } from './openingRuns.ts';

/**
 * Area of solid that all openings together remove from each layer, mm², what several share counted
 * once. Only the rows within an opening are visited. Volume removed = Σ areas · dz.
 */
export function cutAreas(openings: readonly PlacedOpening[], solid: Runs | RunsByLayer): Float64Array {
  const { lattice } = solid;
  const areas = new Float64Array(lattice.layers);
  const blocks = openings.map((opening) => openingRuns(opening, lattice));
  const first = blocks.reduce((least, block) => Math.min(least, block.firstLayer), lattice.layers);
  const last = blocks.reduce((most, block) => Math.max(most, block.firstLayer + block.layers), 0);
  const cut = growableFloats();
  for (let layer = first; layer < last; layer++) {
    const active = blocks.filter((b) => b.firstLayer <= layer && layer < b.firstLayer + b.layers);
    if (active.length === 0) continue;
    const firstRow = active.reduce((least, block) => Math.min(least, block.firstRow), lattice.rows);
    const lastRow = active.reduce((most, block) => Math.max(most, block.firstRow + block.rows), 0);
    const rows = rowsOfLayer(solid, layer);
    let length = 0;
    for (let row = firstRow; row < lastRow; row++) {
      gatherCuts(active, layer, row, cut);
      length += sharedLength(rows, rows.base + row, cut);
    }
    areas[layer] = length * lattice.dy;
  }
  return areas;
}

/** Everything inside any opening, as runs. */
export function openingsAsRuns(openings: readonly PlacedOpening[], lattice: Lattice): Runs {
  const blocks = openings.map((opening) => openingRuns(opening, lattice));
  const offsets = new Uint32Array(lattice.rows * lattice.layers + 1);
  const ends = growableFloats();
  const cut = growableFloats();
  for (let layer = 0; layer < lattice.layers; layer++) {
    const active = blocks.filter((b) => b.firstLayer <= layer && layer < b.firstLayer + b.layers);
    for (let row = 0; row < lattice.rows; row++) {
      gatherCuts(active, layer, row, cut);
      for (let i = 0; i < cut.length; i += 2) {
        if (cut.values[i + 1]! > cut.values[i]!) pushPair(ends, cut.values[i]!, cut.values[i + 1]!);
      }
      offsets[rowIndex(lattice, layer, row) + 1] = ends.length >> 1;
    }
  }
  return { lattice, offsets, ends: ends.values.slice(0, ends.length) };
}

/** The openings' intervals on a row, united, ascending, apart. */
function gatherCuts(blocks: readonly OpeningRuns[], layer: number, row: number, cut: GrowableFloats): void {
  cut.length = 0;
  for (const block of blocks) {
    if (row < block.firstRow || row >= block.firstRow + block.rows) continue;
    const entry = (layer - block.firstLayer) * block.rows + row - block.firstRow;
    if (block.high[entry]! > block.low[entry]!) insertInterval(cut, block.low[entry]!, block.high[entry]!);
  }
}

/** Adds an interval to a sorted, disjoint list, swallowing those it meets. */
function insertInterval(list: GrowableFloats, low: number, high: number): void {
  let kept = 0;
  let from = low;
  let to = high;
  const later: number[] = [];
  for (let i = 0; i < list.length; i += 2) {
    const a = list.values[i]!;
    const b = list.values[i + 1]!;
    if (b < from) {
      list.values[kept++] = a;
      list.values[kept++] = b;
    } else if (a > to) later.push(a, b);
    else {
      from = Math.min(from, a);
      to = Math.max(to, b);
    }
  }
  list.length = kept;
  pushPair(list, from, to);
  for (let i = 0; i < later.length; i += 2) pushPair(list, later[i]!, later[i + 1]!);
}

function sharedLength({ offsets, ends }: LayerRows, row: number, cut: GrowableFloats): number {
  let length = 0;
  let run = offsets[row]!;
  const last = offsets[row + 1]!;
  let i = 0;
  while (i < cut.length && run < last) {
    const low = Math.max(cut.values[i]!, ends[2 * run]!);
    const high = Math.min(cut.values[i + 1]!, ends[2 * run + 1]!);
    if (high > low) length += high - low;
    if (cut.values[i + 1]! < ends[2 * run + 1]!) i += 2;
    else run++;
  }
  return length;
}
