import { expect, test } from 'vitest';
import { buildSurfaceIndex } from '../../../src/core/openings/surfaceIndex.ts';
import { showSide } from '../../../src/core/showSide/showSide.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { shownOn } from '../../../src/pipeline/shownOn.ts';
import { icosphere } from '../../shapes.ts';

const outer = buildSurfaceIndex(icosphere(20, 4));
const cavity = buildSurfaceIndex(icosphere(18, 4));
/** All that looks up near the top. */
const outline: Vec3[] = [
  [-12, -12, 16],
  [12, -12, 16],
  [12, 12, 16],
  [-12, 12, 16],
];
const shows = showSide([{ outline, facing: [0, 0, 1] }]);

test('a place on the outside is show side where an outline holds it', () => {
  const isShown = shownOn({ outer, cavity }, shows);
  expect([isShown([0, 0, 20]), isShown([0, 0, -20]), isShown([20, 0, 0])]).toEqual([true, false, false]);
});

test('the ceiling of the hollow under it is not', () => {
  expect(shownOn({ outer, cavity }, shows)([0, 0, 18])).toBe(false);
  // Without a hollow there, the nearest surface is the outside.
  expect(shownOn({ outer, cavity: null }, shows)([0, 0, 18])).toBe(true);
});
