import fc from 'fast-check';
import { expect, it } from 'vitest';
import {
  affineOf,
  afterScaling,
  applyAffine,
  invertSimilarity,
  transformMesh,
} from '../../../src/core/affine.ts';
import { poseMesh } from '../../../src/core/mesh/pose.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { box, torus } from '../../shapes.ts';

const angle = fc.integer({ min: -180, max: 180 });
const near = (a: Vec3, b: Vec3, tolerance: number): void => {
  for (const axis of [0, 1, 2] as const) expect(Math.abs(a[axis] - b[axis])).toBeLessThan(tolerance);
};

it('recovers the map behind a pose and its inverse', () => {
  fc.assert(
    fc.property(
      fc.tuple(angle, angle, angle),
      fc.constantFrom(0.1, 1, 3.4, 25.4),
      fc.boolean(),
      (turn, factor, mirrored) => {
        const posed = poseMesh(torus(3, 1, 12, 8), { factor, turn, raise: 5, mirrored });
        const frame = affineOf(posed.toPrint);
        const point: Vec3 = [1.5, -2, 7];
        near(applyAffine(frame, point), posed.toPrint(point), 1e-9);
        near(applyAffine(invertSimilarity(frame), posed.toPrint(point)), point, 1e-9);
        near(
          applyAffine(afterScaling(frame, 1 / factor), [
            point[0] * factor,
            point[1] * factor,
            point[2] * factor,
          ]),
          posed.toPrint(point),
          1e-9,
        );
      },
    ),
  );
});

it('moves a mesh as it moves its points', () => {
  const moved = transformMesh(box(2), { linear: [0, -1, 0, 1, 0, 0, 0, 0, 1], shift: [10, 0, 0] });
  const original = box(2).positions;
  expect([...moved.positions.slice(0, 3)]).toEqual([10 - original[1]!, original[0], original[2]]);
});
