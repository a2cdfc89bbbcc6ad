import { add, cross, dot, normalized, scale, type Vec3 } from '../vector.ts';

/** Two unit vectors that with the unit `axis` make a right-handed frame. */
export function basisAcross(axis: Vec3): [Vec3, Vec3] {
  const least = Math.abs(axis[0]) < 0.6 ? ([1, 0, 0] as const) : ([0, 1, 0] as const);
  const u = normalized(add(least, scale(axis, -dot(least, axis))));
  return [u, cross(axis, u)];
}
