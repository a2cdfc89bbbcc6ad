import type { Vec3 } from '../vector.ts';

/** Rounded to so many decimals; −0 becomes 0, so that equal figures print alike. */
export function roundTo(value: number, decimals: number): number {
  const factor = 10 ** decimals;
  const rounded = Math.round(value * factor) / factor;
  return Number.isFinite(rounded) ? rounded + 0 : value;
}

export function roundVec3(point: Vec3, decimals: number): Vec3 {
  return [roundTo(point[0], decimals), roundTo(point[1], decimals), roundTo(point[2], decimals)];
}
