import type { Vec3 } from './vector.ts';

/** Source coordinates rounded to a hundredth of a mm in print, or finer. */
export function sourceRounding(factor: number): (at: Vec3) => Vec3 {
  const decimals = Math.max(0, Math.ceil(2 + Math.log10(factor)));
  // Adding 0 makes −0 a plain 0.
  const rounded = (value: number): number => Number(value.toFixed(decimals)) + 0;
  return ([x, y, z]) => [rounded(x), rounded(y), rounded(z)];
}
