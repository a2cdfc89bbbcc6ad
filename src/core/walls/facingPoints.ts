import { cellSlot, type PointGrid, pointGrid } from './pointGrid.ts';
import type { SkinPoints } from './skinPoints.ts';

/** Components of a normal beyond this are told by their sign; one step of 30° never crosses two such bounds. */
const SIGNED_FROM = 1 / 3;

/**
 * The points that may have skin facing apart, within 30° of straight, no further than `reachMm` away:
 * most of a skin has none, and this tells so by the cell. Normals are told by the signs of their
 * components (26 ways); in order.
 */
export function facingPoints({ points, normals }: SkinPoints, reachMm: number): Uint32Array {
  const grid = pointGrid(points, reachMm);
  const ways = waysOfCells(grid, normals);
  const isFacing = new Uint8Array(grid.cells.length);
  for (let slot = 0; slot < grid.cells.length; slot++) {
    if (grid.cells[slot] === -1) continue;
    if ((neighbourWays(grid, ways, grid.cells[slot]!) & opposites(ways[slot]!)) !== 0) isFacing[slot] = 1;
  }
  const kept = new Uint32Array(points.length / 3);
  let count = 0;
  for (let slot = 0; slot < isFacing.length; slot++) {
    if (isFacing[slot] === 0) continue;
    for (let point = grid.last[slot]!; point >= 0; point = grid.before[point]!) kept[count++] = point;
  }
  return kept.subarray(0, count).sort();
}

/** Bit per way of the normals in each cell, by slot. */
function waysOfCells({ cells, last, before }: PointGrid, normals: Float32Array): Uint32Array {
  const ways = new Uint32Array(cells.length);
  for (let slot = 0; slot < cells.length; slot++) {
    if (cells[slot] === -1) continue;
    for (let point = last[slot]!; point >= 0; point = before[point]!) {
      const x = signOf(normals[3 * point]!);
      const y = signOf(normals[3 * point + 1]!);
      const z = signOf(normals[3 * point + 2]!);
      ways[slot]! |= 1 << (x + 3 * (y + 3 * z));
    }
  }
  return ways;
}

/** 0, 1 or 2: negative, near zero, positive. */
const signOf = (c: number): number => (c > SIGNED_FROM ? 2 : c < -SIGNED_FROM ? 0 : 1);

function neighbourWays(grid: PointGrid, ways: Uint32Array, cell: number): number {
  const [nx, ny] = grid.across;
  const x = cell % nx;
  const y = Math.floor(cell / nx) % ny;
  let all = 0;
  for (let c = -1; c <= 1; c++) {
    for (let b = -1; b <= 1; b++) {
      if (y + b < 0 || y + b >= ny) continue;
      for (let a = -1; a <= 1; a++) {
        if (x + a < 0 || x + a >= nx) continue;
        all |= ways[cellSlot(grid, cell + a + nx * (b + ny * c))]!;
      }
    }
  }
  return all;
}

/** Every way that may lie within 30° of against one of these. */
function opposites(ways: number): number {
  let all = 0;
  for (let way = 0; way < 27; way++) if (((ways >>> way) & 1) === 1) all |= against[way]!;
  return all;
}

const against = Uint32Array.from({ length: 27 }, (_, way) => {
  let mask = 0;
  for (let other = 0; other < 27; other++) {
    const isNear = [1, 3, 9].every((step) => {
      const mirrored = 2 - (Math.floor(way / step) % 3);
      return Math.abs(mirrored - (Math.floor(other / step) % 3)) <= 1;
    });
    if (isNear && other !== 13) mask |= 1 << other;
  }
  return mask;
});
