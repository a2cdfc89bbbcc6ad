import { describe, expect, it } from 'vitest';
import { segmentsApart } from '../../../src/core/segmentsApart.ts';
import { add, norm, scale, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { random } from '../../shapes.ts';

const apart = (a: Vec3, b: Vec3, c: Vec3, d: Vec3): number => {
  const { onFirst, onSecond } = segmentsApart(a, b, c, d);
  return norm(subtract(onFirst, onSecond));
};

describe('the nearest points of two straight pieces', () => {
  it('cross, pass by, lie side by side, or are points', () => {
    expect(apart([-1, 0, 0], [1, 0, 0], [0, -1, 2], [0, 1, 2])).toBe(2);
    expect(apart([0, 0, 0], [1, 0, 0], [4, 4, 0], [4, 9, 0])).toBe(5);
    expect(apart([0, 0, 0], [9, 0, 0], [2, 3, 0], [5, 3, 0])).toBe(3);
    expect(apart([0, 0, 0], [1, 0, 0], [3, 0, 0], [5, 0, 0])).toBe(2);
    expect(apart([1, 1, 1], [1, 1, 1], [1, 1, 4], [1, 1, 4])).toBe(3);
    expect(apart([0, 3, 0], [0, 3, 0], [-5, 0, 0], [5, 0, 0])).toBe(3);
    expect(apart([0, 0, 0], [1e9, 0, 0], [5e8, 2, 0], [5e8, 9, 0])).toBeCloseTo(2, 6);
  });

  it('are no farther apart than any others', () => {
    const next = random(7);
    const point = (): Vec3 => [next() - 0.5, next() - 0.5, next() - 0.5];
    for (let n = 0; n < 300; n++) {
      const [a, b, c, d] = [point(), point(), point(), point()];
      const least = apart(a, b, c, d);
      for (let s = 0; s <= 1; s += 0.1) {
        for (let t = 0; t <= 1; t += 0.1) {
          const one = add(a, scale(subtract(b, a), s));
          const other = add(c, scale(subtract(d, c), t));
          expect(norm(subtract(one, other))).toBeGreaterThanOrEqual(least - 1e-12);
        }
      }
    }
  });
});
