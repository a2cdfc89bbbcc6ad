import { expect, it } from 'vitest';
import { greatestDistance } from '../../../src/core/surface/greatestDistance.ts';
import { box, icosphere, transformed } from '../../shapes.ts';

it('of a ball inside a larger one is the gap, of a shifted box the shift', () => {
  // The larger ball is a polyhedron: its facets lie up to R·(1 − cos) inside.
  expect(Math.abs(greatestDistance(icosphere(8, 4), icosphere(10, 5), 1e6) - 2)).toBeLessThan(0.02);
  const cube = box(20);
  expect(greatestDistance(transformed(cube, { shift: [3, 0, 0] }), cube, 1e6)).toBeCloseTo(3, 6);
  expect(greatestDistance(cube, cube, 1e6)).toBeCloseTo(0, 12);
});

it('measures the centres of facets too, and of a share of them no more than of all', () => {
  // The corners of the small square lie on the large one’s rim; its middle is over a pit of 5 mm.
  const rim = {
    positions: Float32Array.of(0, 0, 0, 9, 0, 0, 0, 9, 0, 3, 3, -5),
    triangles: Uint32Array.of(0, 1, 3, 1, 2, 3, 2, 0, 3),
  };
  const lid = { positions: rim.positions, triangles: Uint32Array.of(0, 1, 2) };
  expect(greatestDistance(lid, rim, 10)).toBeGreaterThan(1);
  const ball = icosphere(8, 3);
  expect(greatestDistance(ball, icosphere(10, 3), 100)).toBeLessThanOrEqual(
    greatestDistance(ball, icosphere(10, 3), 1e6),
  );
});
