import { expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { isSwallowed } from '../../../src/core/joints/isSwallowed.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { box, icosphere, transformed, volumeOf } from '../../shapes.ts';
import { bodyOf, socket } from './bodies.ts';

const swallowed = (one: Mesh, other: Mesh): boolean => {
  const [first, second] = [one, other].map((mesh) => ({ ...bodyOf(mesh), volumeMm3: volumeOf(mesh) }));
  const said = isSwallowed(first!, second!, uninterrupted);
  expect(isSwallowed(second!, first!, uninterrupted)).toBe(said);
  return said;
};
const moved = (mesh: Mesh, shift: Vec3): Mesh => transformed(mesh, { shift });

it.each<[string, Vec3, boolean]>([
  ['by 0.52 of itself', [4.8, 0, 0], true],
  ['by 0.48 of itself', [5.2, 0, 0], false],
  ['by 0.52 of itself over a corner', [1.957, 1.957, 1.957], true],
  ['by 0.48 of itself over a corner', [2.17, 2.17, 2.17], false],
  ['not at all', [30, 0, 0], false],
])('a cube that lies in its like %s', (_, shift, said) => {
  expect(swallowed(box([10, 10, 10]), moved(box([10, 10, 10]), shift))).toBe(said);
});

it('the same file twice, and a finer mesh of the same solid, lie in each other', () => {
  expect(swallowed(icosphere(20, 4), icosphere(20, 4))).toBe(true);
  expect(swallowed(icosphere(20, 4), icosphere(20, 5))).toBe(true);
});

it('a small part wholly within a large one is swallowed; a key in its socket and a ball in a shell are not', () => {
  expect(swallowed(box([40, 40, 40]), box([2, 2, 2]))).toBe(true);
  const key = moved(box([10, 10, 12]), [0, 0, -2]);
  expect(swallowed(key, socket(20, 14, 10.4, 8.5))).toBe(false);
});
