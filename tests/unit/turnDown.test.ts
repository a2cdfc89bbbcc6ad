import { expect, test } from 'vitest';
import { turnDown } from '../../src/core/turnDown.ts';
import { normalized, type Vec3 } from '../../src/core/vector.ts';
import * as shapes from '../shapes.ts';

test.each([
  [[0, 0, -1]],
  [[0, 0, 1]],
  [[1, 0, 0]],
  [[-1, 0, 0]],
  [[0, 1, 0]],
  [[0.3, -0.5, 0.8]],
  [[-0.9, 0.1, -0.2]],
] as [Vec3][])('a turn that brings %s down', (direction) => {
  const down = normalized(direction);
  const [x, y, z] = shapes.turned(down, turnDown(down));
  // Whole degrees.
  expect(Math.hypot(x, y)).toBeLessThan(0.02);
  expect(z).toBeLessThan(-0.999);
});

test('half a turn is written in one way', () => {
  expect(turnDown([0, 0, 1])).toEqual([180, 0, 0]);
  expect(turnDown([0, -0, 1])).toEqual([180, 0, 0]);
});
