import type { Vec3 } from './vector.ts';

/**
 * Degrees about x, then about y (z stays as it is) that bring a direction of the sculpt to point straight
 * down: a `turn` in which the part is held.
 */
export function turnDown([x, y, z]: Vec3): Vec3 {
  const across = Math.hypot(y, z);
  const degrees = (radians: number): number => Math.round((radians * 180) / Math.PI) + 0;
  const aboutX = degrees(across > 1e-9 ? Math.atan2(-y, -z) : 0);
  // Half a turn is the same either way round, and is written in one way.
  return [aboutX === -180 ? 180 : aboutX, degrees(Math.atan2(x, across)), 0];
}
