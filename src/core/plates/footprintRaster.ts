import type { Footprint } from './footprint.ts';

/** A footprint while it is drawn: one byte a cell, row by row. */
export interface FootprintRaster
  extends Pick<Footprint, 'minX' | 'minY' | 'cellX' | 'cellY' | 'columns' | 'rows'> {
  readonly cells: Uint8Array;
}

/** What reaches into a cell by less than this part of it does not touch it: float32 is no finer at 300 mm. */
const TOUCH = 1e-3;

/** Marks every cell that a triangle touches; what of it lies outside the raster is left out. */
export function markTriangle(
  { minX, minY, cellX, cellY, columns, rows, cells }: FootprintRaster,
  ax: number,
  ay: number,
  bx: number,
  by: number,
  cx: number,
  cy: number,
): void {
  const ua = (ax - minX) / cellX;
  const ub = (bx - minX) / cellX;
  const uc = (cx - minX) / cellX;
  const va = (ay - minY) / cellY;
  const vb = (by - minY) / cellY;
  const vc = (cy - minY) / cellY;
  const first = Math.max(0, Math.floor(Math.min(va, vb, vc) + TOUCH));
  const last = Math.min(rows - 1, Math.max(first, Math.ceil(Math.max(va, vb, vc) - TOUCH) - 1));
  const from = Math.min(ua, ub, uc);
  const to = Math.max(ua, ub, uc);
  if (first === last) {
    // Most facets of a large mesh.
    markRow(cells, first * columns, columns, from, to);
    return;
  }
  if (isMarked(cells, first, last, columns, from, to)) return;
  const slopeAB = slopeOf(ua, va, ub, vb);
  const slopeBC = slopeOf(ub, vb, uc, vc);
  const slopeCA = slopeOf(uc, vc, ua, va);
  for (let row = first; row <= last; row++) {
    extent[0] = Infinity;
    extent[1] = -Infinity;
    clip(ua, va, ub, vb, slopeAB, row);
    clip(ub, vb, uc, vc, slopeBC, row);
    clip(uc, vc, ua, va, slopeCA, row);
    if (extent[0]! <= extent[1]!) markRow(cells, row * columns, columns, extent[0]!, extent[1]!);
  }
}

/** Whether nothing is left to mark in the box round a triangle: so for most, since a solid's facets lie over each other. */
function isMarked(
  cells: Uint8Array,
  firstRow: number,
  lastRow: number,
  columns: number,
  from: number,
  to: number,
): boolean {
  const first = Math.max(0, Math.floor(from + TOUCH));
  const end = Math.min(columns, Math.max(first + 1, Math.ceil(to - TOUCH)));
  for (let row = firstRow; row <= lastRow; row++) {
    const base = row * columns;
    for (let column = first; column < end; column++) if (cells[base + column] === 0) return false;
  }
  return true;
}

function markRow(cells: Uint8Array, base: number, columns: number, from: number, to: number): void {
  const first = Math.max(0, Math.floor(from + TOUCH));
  const end = Math.min(columns, Math.max(first + 1, Math.ceil(to - TOUCH)));
  for (let column = first; column < end; column++) cells[base + column] = 1;
}

/** Extent along the row of what was clipped to it; a pair of results without an object for each edge. */
const extent = new Float64Array(2);

const slopeOf = (ua: number, va: number, ub: number, vb: number): number =>
  va === vb ? 0 : (ub - ua) / (vb - va);

/** The part of an edge that lies in the row, a hair's breadth beyond its borders included. */
function clip(ua: number, va: number, ub: number, vb: number, slope: number, row: number): void {
  const bottom = row - TOUCH;
  const top = row + 1 + TOUCH;
  if ((va < bottom && vb < bottom) || (va > top && vb > top)) return;
  const from = va < bottom ? ua + (bottom - va) * slope : va > top ? ua + (top - va) * slope : ua;
  const to = vb < bottom ? ub + (bottom - vb) * slope : vb > top ? ub + (top - vb) * slope : ub;
  if (from < to) widen(from, to);
  else widen(to, from);
}

function widen(low: number, high: number): void {
  if (low < extent[0]!) extent[0] = low;
  if (high > extent[1]!) extent[1] = high;
}

export function packRaster({ cells, ...place }: FootprintRaster): Footprint {
  const { columns, rows } = place;
  const start = new Uint32Array(rows + 1);
  const ends: number[] = [];
  for (let row = 0; row < rows; row++) {
    const base = row * columns;
    let before = 0;
    for (let column = 0; column < columns; column++) {
      const here = cells[base + column]!;
      if (here !== before) ends.push(column);
      before = here;
    }
    if (before === 1) ends.push(columns);
    start[row + 1] = ends.length / 2;
  }
  return { ...place, start, ends: Uint32Array.from(ends) };
}

/** The raster of a footprint, with so many cells more at each side. */
export function unpackFootprint(
  footprint: Footprint,
  more: { readonly left: number; readonly right: number; readonly front: number; readonly back: number },
): FootprintRaster {
  const { minX, minY, cellX, cellY, start, ends } = footprint;
  const columns = footprint.columns + more.left + more.right;
  const rows = footprint.rows + more.front + more.back;
  const cells = new Uint8Array(columns * rows);
  for (let row = 0; row < footprint.rows; row++) {
    const base = (row + more.front) * columns + more.left;
    for (let run = start[row]!; run < start[row + 1]!; run++) {
      cells.fill(1, base + ends[2 * run]!, base + ends[2 * run + 1]!);
    }
  }
  const at = { minX: minX - more.left * cellX, minY: minY - more.front * cellY };
  return { ...at, cellX, cellY, columns, rows, cells };
}
