import { uninterrupted } from '../../../src/core/interrupter.ts';
import { castFootprint } from '../../../src/core/plates/castFootprint.ts';
import type { Footprint } from '../../../src/core/plates/footprint.ts';
import type { Place } from '../../../src/core/plates/place.ts';
import { box, cylinder, join, transformed } from '../../shapes.ts';

/** A rectangle by its corners. */
export type Rectangle = readonly [x0: number, y0: number, x1: number, y1: number];

/** Rectangles as one part, its bounding box moved about the origin as every posed part is. */
export function blocks(...rectangles: readonly Rectangle[]): {
  readonly footprint: Footprint;
  readonly rectangles: readonly Rectangle[];
} {
  const all = [0, 1].map(
    (axis) =>
      (Math.min(...rectangles.map((one) => one[axis]!)) +
        Math.max(...rectangles.map((one) => one[axis + 2]!))) /
      2,
  );
  const centred = rectangles.map(
    ([x0, y0, x1, y1]): Rectangle => [x0 - all[0]!, y0 - all[1]!, x1 - all[0]!, y1 - all[1]!],
  );
  const meshes = centred.map(([x0, y0, x1, y1]) =>
    transformed(box([x1 - x0, y1 - y0, 5]), { shift: [(x0 + x1) / 2, (y0 + y1) / 2, 2.5] }),
  );
  return { footprint: castFootprint(join(...meshes), uninterrupted), rectangles: centred };
}

export const square = (side: number): Footprint => blocks([0, 0, side, side]).footprint;

export const disc = (radius: number): Footprint => castFootprint(cylinder(radius, 10, 360), uninterrupted);

/** An L of two arms of equal length. */
export const ell = (length: number, arm: number): Footprint =>
  blocks([0, 0, length, arm], [0, 0, arm, length]).footprint;

type Corner = readonly [number, number];

/** The corners of a rectangle of a part as it stands, in order. */
export function standing([x0, y0, x1, y1]: Rectangle, { at, spin }: Place): readonly Corner[] {
  const turn = (spin * Math.PI) / 180;
  return (
    [
      [x0, y0],
      [x1, y0],
      [x1, y1],
      [x0, y1],
    ] as const
  ).map(([x, y]) => [
    at[0] + Math.cos(turn) * x - Math.sin(turn) * y,
    at[1] + Math.sin(turn) * x + Math.cos(turn) * y,
  ]);
}

/** Distance of two convex outlines, 0 where they overlap: all corners against all sides. Written apart from the code under test. */
export function distanceOf(a: readonly Corner[], b: readonly Corner[]): number {
  if (a.some((corner) => isInside(corner, b)) || b.some((corner) => isInside(corner, a))) return 0;
  let least = Infinity;
  for (const [p, q, others] of [...sides(a, b), ...sides(b, a)]) {
    for (const [n, corner] of others.entries()) {
      if (cross(p, q, corner, others[(n + 1) % others.length]!)) return 0;
      least = Math.min(least, toSegment(corner, p, q));
    }
  }
  return least;
}

const sides = (
  a: readonly Corner[],
  b: readonly Corner[],
): (readonly [Corner, Corner, readonly Corner[]])[] => a.map((p, n) => [p, a[(n + 1) % a.length]!, b]);

const side = (p: Corner, q: Corner, r: Corner): number =>
  (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);

const isInside = (corner: Corner, outline: readonly Corner[]): boolean =>
  outline.every((p, n) => side(p, outline[(n + 1) % outline.length]!, corner) > 0);

const cross = (p: Corner, q: Corner, r: Corner, s: Corner): boolean =>
  side(p, q, r) * side(p, q, s) < 0 && side(r, s, p) * side(r, s, q) < 0;

function toSegment([x, y]: Corner, p: Corner, q: Corner): number {
  const [dx, dy] = [q[0] - p[0], q[1] - p[1]];
  const along = Math.max(0, Math.min(1, ((x - p[0]) * dx + (y - p[1]) * dy) / (dx * dx + dy * dy)));
  return Math.hypot(x - p[0] - along * dx, y - p[1] - along * dy);
}
