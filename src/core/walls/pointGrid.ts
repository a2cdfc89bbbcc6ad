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

/** Linear; at least one point. */
export function pointGrid(points: Float32Array, cellMm: number): PointGrid {
  const { min, max } = boundsOf(points);
  const count = points.length / 3;
  const slots = 2 ** Math.ceil(Math.log2(2 * count + 2));
  const grid = {
    points,
    cellMm,
    low: min,
    across: [0, 1].map((axis) => Math.floor((max[axis]! - min[axis]!) / cellMm) + 1) as [number, number],
    cells: new Float64Array(slots).fill(-1),
    last: new Int32Array(slots).fill(-1),
    before: new Int32Array(count),
  };
  const [nx, ny] = grid.across;
  for (let n = 0; n < count; n++) {
    const x = Math.floor((points[3 * n]! - min[0]) / cellMm);
    const y = Math.floor((points[3 * n + 1]! - min[1]) / cellMm);
    const z = Math.floor((points[3 * n + 2]! - min[2]) / cellMm);
    const slot = slotOf(grid, x + nx * (y + ny * z));
    grid.cells[slot] = x + nx * (y + ny * z);
    grid.before[n] = grid.last[slot]!;
    grid.last[slot] = n;
  }
  return grid;
}

/** Slot of a cell, or the free one where it would stand. */
function slotOf({ cells }: Pick<PointGrid, 'cells'>, cell: number): number {
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
  const { low, cellMm, across, last, before } = grid;
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
        const slot = slotOf(grid, a + nx * (b + ny * c));
        if (grid.cells[slot] === -1) continue;
        for (let point = last[slot]!; point >= 0; point = before[point]!) visit(point);
      }
    }
  }
}
