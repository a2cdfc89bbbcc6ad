import { describe, expect, it } from 'vitest';
import { triangulateLoop } from '../../../src/core/mesh/triangulateLoop.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { random, turned } from '../../shapes.ts';

const free = () => false;

/** A star about the origin with the given radii, one corner each, turned in space. */
function star(radii: readonly number[], turn: Vec3): Float64Array {
  const n = radii.length;
  return Float64Array.from(
    radii.flatMap((r, i) =>
      turned([r * Math.cos((2 * Math.PI * i) / n), r * Math.sin((2 * Math.PI * i) / n), 0], turn),
    ),
  );
}

const starArea = (radii: readonly number[]): number =>
  radii.reduce((sum, r, i) => sum + r * radii[(i + 1) % radii.length]!, 0) *
  0.5 *
  Math.sin((2 * Math.PI) / radii.length);

/** Sum of the triangles' areas, each taken positive. */
function coveredArea(loop: Float64Array, corners: Uint32Array): number {
  let sum = 0;
  for (let t = 0; t < corners.length; t += 3) {
    const [a, b, c] = [0, 1, 2].map((i) => loop.subarray(3 * corners[t + i]!, 3 * corners[t + i]! + 3));
    const u = [0, 1, 2].map((i) => b![i]! - a![i]!);
    const v = [0, 1, 2].map((i) => c![i]! - a![i]!);
    sum +=
      Math.hypot(
        u[1]! * v[2]! - u[2]! * v[1]!,
        u[2]! * v[0]! - u[0]! * v[2]!,
        u[0]! * v[1]! - u[1]! * v[0]!,
      ) / 2;
  }
  return sum;
}

describe.each([5, 40, 96, 97, 300, 1000])('flat stars of %i corners', (n) => {
  it('are covered exactly once, by triangles that run as the rim does', () => {
    for (let seed = 1; seed <= 8; seed++) {
      const next = random(seed);
      const radii = Array.from({ length: n }, () => 3 + 7 * next());
      const loop = star(radii, [360 * next(), 360 * next(), 360 * next()]);
      const corners = triangulateLoop(loop, free);
      expect(corners.length, `seed ${seed}`).toBe(3 * (n - 2));
      // Triangles that overlapped or left the loop would cover more than its area.
      expect(coveredArea(loop, corners) / starArea(radii), `seed ${seed}`).toBeCloseTo(1, 9);
      const directed = new Set<string>();
      for (let t = 0; t < corners.length; t += 3) {
        for (let i = 0; i < 3; i++) directed.add(`${corners[t + i]},${corners[t + ((i + 1) % 3)]}`);
      }
      expect(directed.size, `seed ${seed}`).toBe(corners.length);
      for (let i = 0; i < n; i++) expect(directed.has(`${i},${(i + 1) % n}`), `seed ${seed}`).toBe(true);
    }
  });
});

it('avoids an edge that is taken', () => {
  const square = Float64Array.of(0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0);
  for (const [p, q] of [
    [0, 2],
    [1, 3],
  ] as const) {
    const corners = triangulateLoop(square, (i, j) => Math.min(i, j) === p && Math.max(i, j) === q);
    for (let t = 0; t < 6; t += 3) {
      const corner = corners.subarray(t, t + 3);
      expect(corner.includes(p) && corner.includes(q)).toBe(false);
    }
  }
});

it('ends on loops that cross themselves', () => {
  const next = random(9);
  const loop = Float64Array.from({ length: 3 * 500 }, () => next());
  expect(triangulateLoop(loop, free)).toHaveLength(3 * 498);
});
