import { expect, test } from 'vitest';
import type { Vec3 } from '../../../src/core/vector.ts';
import { panelCurvature } from '../../../src/core/walls/panelCurvature.ts';

/** A patch 10 mm long and 4 mm wide of z = −(a·x² + b·y²)/2, from within: normals point into the void below. */
function patch(a: number, b: number) {
  const points: number[] = [];
  const normals: number[] = [];
  for (let x = -5; x <= 5; x += 0.5)
    for (let y = -2; y <= 2; y += 0.5) {
      points.push(x, y, -(a * x * x + b * y * y) / 2);
      const length = Math.hypot(a * x, b * y, 1);
      normals.push((-a * x) / length, (-b * y) / length, -1 / length);
    }
  const count = points.length / 3;
  return {
    skin: {
      points: Float32Array.from(points),
      normals: Float32Array.from(normals),
      areaMm2: new Float32Array(count).fill(0.25),
    },
    members: Uint32Array.from({ length: count }, (_, n) => n),
  };
}

const across = (angle: number): { u: Vec3; v: Vec3 } => ({
  u: [Math.cos(angle), Math.sin(angle), 0],
  v: [-Math.sin(angle), Math.cos(angle), 0],
});

test.each([
  [1 / 40, 1 / 60],
  [0, 1 / 30],
  [1 / 50, 0],
  [-1 / 80, 1 / 40],
  [0, 0],
])('curvatures %s along and %s across a long patch, whichever way the directions lie', (a, b) => {
  const { skin, members } = patch(a, b);
  for (const angle of [0, 0.4, 1.2]) {
    const found = panelCurvature(skin, members, { at: [0, 0, 0], radiusMm: 6, ...across(angle) })!;
    expect(found.most).toBeCloseTo(Math.max(a, b), 3);
    expect(found.least).toBeCloseTo(Math.min(a, b), 3);
    if (a !== b) {
      // Straight is the direction of the lesser.
      expect(Math.abs(found.straight[a < b ? 0 : 1])).toBeGreaterThan(0.99);
      expect(Math.abs(found.across[a < b ? 1 : 0])).toBeGreaterThan(0.99);
    }
  }
});

test('a few corners tell nothing', () => {
  const { skin, members } = patch(0.1, 0.1);
  const circle = { at: [0, 0, 0] as const, radiusMm: 6, ...across(0) };
  expect(panelCurvature(skin, members.slice(0, 11), circle)).toBeNull();
});
