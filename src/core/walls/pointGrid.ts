import { boundsOf } from '../mesh/boundsOf.ts';

/** Points by the cubic cell they lie in: an open-addressed table of cells, points of a cell chained. */
export interface PointGrid {
  readonly points: Float32Array;
  readonly cellMm: number;
  readonly low: readonly [number, number, number];
  /** Cells along x and y. */
  readonly across: readonly [number, number];
  /** Cell by slot, −1 where free, and the last of its points. */
  readonly cells: Float64Array;
  readonly last: Int32Array;
  /** The point before in the same cell, −1 at its first. */
  readonly before: Int32Array;
}

const FIRST_SLOTS = 1 << 12;

/** Of all points, or of those listed. Linear; at least one point. */
export function pointGrid(
  points: Float32Array,
  cellMm: number,
  listed: Uint32Array | null = null,
): PointGrid {
  const { min, max } = boundsOf(points);
  const count = listed?.length ?? points.length / 3;
  const nx = Math.floor((max[0] - min[0]) / cellMm) + 1;
  const ny = Math.floor((max[1] - min[1]) / cellMm) + 1;
  const before = new Int32Array(points.length / 3);
  // The table grows with the cells, so that it stays in the cache where points are many to a cell.
  let cells = new Float64Array(FIRST_SLOTS).fill(-1);
  let last = new Int32Array(FIRST_SLOTS).fill(-1);
  let filled = 0;
  for (let at = 0; at < count; at++) {
    const n = listed === null ? at : listed[at]!;
    const x = Math.floor((points[3 * n]! - min[0]) / cellMm);
    const y = Math.floor((points[3 * n + 1]! - min[1]) / cellMm);
    const z = Math.floor((points[3 * n + 2]! - min[2]) / cellMm);
    const cell = x + nx * (y + ny * z);
    const slot = slotOf(cells, cell);
    before[n] = last[slot]!;
    last[slot] = n;
    if (cells[slot] === cell) continue;
    cells[slot] = cell;
    if (2 * ++filled < cells.length) continue;
    const wider = widened(cells, last);
    cells = wider.cells;
    last = wider.last;
  }
  return { points, cellMm, low: min, across: [nx, ny], cells, last, before };
}

function widened(
  cells: Float64Array,
  last: Int32Array,
): { cells: Float64Array<ArrayBuffer>; last: Int32Array<ArrayBuffer> } {
  const wider = {
    cells: new Float64Array(2 * cells.length).fill(-1),
    last: new Int32Array(2 * cells.length).fill(-1),
  };
  for (let slot = 0; slot < cells.length; slot++) {
    if (cells[slot] === -1) continue;
    const to = slotOf(wider.cells, cells[slot]!);
    wider.cells[to] = cells[slot]!;
    wider.last[to] = last[slot]!;
  }
  return wider;
}

/** Slot of a cell, or the free one where it would stand. */
export const cellSlot = ({ cells }: PointGrid, cell: number): number => slotOf(cells, cell);

function slotOf(cells: Float64Array, cell: number): number {
  const mask = cells.length - 1;
  let slot = (Math.imul(cell | 0, 0x9e3779b1) >>> 7) & mask;
  while (cells[slot] !== -1 && cells[slot] !== cell) slot = (slot + 1) & mask;
  return slot;
}

/** Calls `visit` with every point whose cell meets the cube of half side `reachMm` round (x, y, z); others may come too. */
export function visitNear(
  grid: PointGrid,
  x: number,
  y: number,
  z: number,
  reachMm: number,
  visit: (point: number) => void,
): void {
  const { low, cellMm, across, cells, last, before } = grid;
  const [nx, ny] = across;
  const x0 = Math.max(0, Math.floor((x - reachMm - low[0]) / cellMm));
  const y0 = Math.max(0, Math.floor((y - reachMm - low[1]) / cellMm));
  const z0 = Math.max(0, Math.floor((z - reachMm - low[2]) / cellMm));
  const x1 = Math.min(nx - 1, Math.floor((x + reachMm - low[0]) / cellMm));
  const y1 = Math.min(ny - 1, Math.floor((y + reachMm - low[1]) / cellMm));
  const z1 = Math.floor((z + reachMm - low[2]) / cellMm);
  for (let c = z0; c <= z1; c++) {
    for (let b = y0; b <= y1; b++) {
      for (let a = x0; a <= x1; a++) {
        const slot = slotOf(cells, a + nx * (b + ny * c));
        if (cells[slot] === -1) continue;
        for (let point = last[slot]!; point >= 0; point = before[point]!) visit(point);
      }
    }
  }
}
