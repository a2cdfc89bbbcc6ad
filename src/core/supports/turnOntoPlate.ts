import type { Footprint } from '../plates/footprint.ts';
import { footprintHull } from '../pose/footprintHull.ts';

/** A foot with its raft: its middle and how far it reaches round that, mm. */
export interface FootReach {
  readonly x: number;
  readonly y: number;
  readonly reachMm: number;
}

const HALF_TURN = 180;
/** A quarter turn first, since the part keeps its place for it; then small turns up. */
const order = [90, ...Array.from({ length: HALF_TURN - 1 }, (_, n) => n + 1).filter((n) => n !== 90)];
/** Sums of a few figures in mm are good to this. */
const EXACT_MM = 1e-6;

/**
 * Degrees about z by which a part has to be turned for all feet, and the part itself, to be within `room` (x and y,
 * mm): the part's bounding box stands in the middle of it, however it is turned. Null where none will do. Print frame;
 * `footprint` is that of the part alone.
 */
export function turnOntoPlate(
  footprint: Footprint,
  feet: readonly FootReach[],
  [width, depth]: readonly [number, number],
): number | null {
  const outline = footprintHull(cornersOf(footprint));
  const fits = (degrees: number): boolean => {
    const angle = (degrees * Math.PI) / HALF_TURN;
    const [cos, sin] = degrees === 90 ? [0, 1] : [Math.cos(angle), Math.sin(angle)];
    const along = (ax: number, ay: number, room: number): boolean => {
      const ends = outline.map(([x, y]) => ax * x + ay * y);
      const [low, high] = [Math.min(...ends), Math.max(...ends)];
      const middle = (low + high) / 2;
      return (
        high - low <= room + EXACT_MM &&
        feet.every(({ x, y, reachMm }) => Math.abs(ax * x + ay * y - middle) + reachMm <= room / 2 + EXACT_MM)
      );
    };
    return along(cos, -sin, width) && along(sin, cos, depth);
  };
  return order.find(fits) ?? null;
}

/** The outer corners of every row's first and last cell, as points of three numbers. */
function cornersOf({ minX, minY, cellX, cellY, rows, start, ends }: Footprint): Float64Array {
  const points: number[] = [];
  for (let row = 0; row < rows; row++) {
    if (start[row] === start[row + 1]) continue;
    const [low, high] = [ends[2 * start[row]!]!, ends[2 * start[row + 1]! - 1]!];
    for (const column of [low, high]) {
      for (const y of [row, row + 1]) points.push(minX + column * cellX, minY + y * cellY, 0);
    }
  }
  return Float64Array.from(points);
}
