import { describe, expect, test } from 'vitest';
import { scale, type Vec3 } from '../../../src/core/vector.ts';
import { borderEdges } from '../../../src/solid/borderEdges.ts';
import { type Cap, capLoop } from '../../../src/solid/capLoop.ts';
import { type ConvexBody, convexBody } from '../../../src/solid/convexBody.ts';
import * as shapes from '../../shapes.ts';

/** A curve like a ball's seam on the unit sphere: seen from anywhere, a part of it lies before the ball. */
const onSeam = (t: number): Vec3 => [
  0.7 * Math.cos(t) + 0.3 * Math.cos(3 * t),
  0.7 * Math.sin(t) - 0.3 * Math.sin(3 * t),
  2 * Math.sqrt(0.21) * Math.sin(2 * t),
];
const corners = 200;
const loop = Float32Array.from(
  Array.from({ length: corners }, (_, n) => scale(onSeam((2 * Math.PI * n) / corners), 20.5)).flat(),
);
const ball = (radius: number, shift: Vec3): ConvexBody =>
  convexBody(shapes.transformed(shapes.icosphere(radius, 3), { shift }))!;

/** Least distance of the cap from a point, over a lattice of points on its facets. */
function leastDistance({ positions, triangles }: Cap, from: Vec3): number {
  let least = Infinity;
  for (let at = 0; at < triangles.length; at += 3) {
    for (let u = 0; u <= 40; u++) {
      for (let v = 0; u + v <= 40; v++) {
        const point = [0, 1, 2].map((axis) =>
          [40 - u - v, u, v].reduce(
            (sum, w, k) => sum + (w / 40) * positions[3 * triangles[at + k]! + axis]!,
            0,
          ),
        );
        least = Math.min(least, Math.hypot(...point.map((value, axis) => value - from[axis]!)));
      }
    }
  }
  return least;
}

describe('capLoop', () => {
  test('closes a seam round a ball, from the other side and without coming near the ball', () => {
    const cap = capLoop(loop, [ball(20, [0, 0, 0])], 0.05)!;
    const border = borderEdges(cap.triangles, cap.positions.length / 3)!;
    expect(border.from).toHaveLength(corners);
    border.from.forEach((from, n) => {
      expect((border.to[n]! + 1) % corners).toBe(from);
    });
    expect(cap.positions.slice(0, loop.length)).toEqual(loop);
    expect(leastDistance(cap, [0, 0, 0])).toBeGreaterThan(20.05);
  });

  test('gives up when another ball is in the way of every sleeve', () => {
    const inTheWay = ball(3, scale(onSeam(0.45), 25));
    expect(capLoop(loop, [ball(20, [0, 0, 0]), inTheWay], 0.05)).toBe(null);
  });
});
