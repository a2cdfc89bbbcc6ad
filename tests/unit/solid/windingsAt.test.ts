import { expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { windingAbove } from '../../../src/solid/windingAbove.ts';
import { windingsAt } from '../../../src/solid/windingsAt.ts';
import * as shapes from '../../shapes.ts';

test.each([31, 32, 33])('many points at once: as every facet says of every point, seed %i', (seed) => {
  const next = shapes.random(seed);
  const mesh = shapes.transformed(
    shapes.join(shapes.icosphere(10, 3), shapes.reversed(shapes.icosphere(7, 3)), shapes.torus(9, 2, 24, 12)),
    { turn: [30 * seed, 17, 5] },
  );
  const points = Array.from(
    { length: 300 },
    (): Vec3 => [24 * next() - 12, 24 * next() - 12, 24 * next() - 12],
  );
  const expected = points.map(([x, y, z]) => {
    let sum = 0;
    for (let facet = 0; facet < mesh.triangles.length / 3; facet++) sum += windingAbove(mesh, facet, x, y, z);
    return sum;
  });
  expect([...windingsAt(mesh, points, uninterrupted)]).toEqual(expected);
  expect(new Set(expected).size).toBeGreaterThan(2);
});
