import { expect, test } from 'vitest';
import { growthExponent } from '../../bench/growth.ts';

test('the exponent of powers is that power, whatever the factor; of n·log n a little above 1', () => {
  const sizes = [200_000, 1_000_000, 2_000_000, 5_000_000];
  for (const power of [0, 0.5, 1, 1.5, 2]) {
    expect(
      growthExponent(
        sizes,
        sizes.map((n) => 3e-4 * n ** power),
      ),
    ).toBeCloseTo(power, 9);
  }
  const sorting = growthExponent(
    sizes,
    sizes.map((n) => n * Math.log(n)),
  );
  expect(sorting).toBeGreaterThan(1.05);
  expect(sorting).toBeLessThan(1.1);
  expect(growthExponent([1000], [5])).toBeNaN();
});
