import type { Vec3 } from './vector.ts';

/** Both ways along each axis, z first. */
export const axisDirections: readonly Vec3[] = [
  [0, 0, -1],
  [0, 0, 1],
  [0, -1, 0],
  [0, 1, 0],
  [-1, 0, 0],
  [1, 0, 0],
];
