import { add, cross, normalized, scale, type Vec3 } from '../../src/core/vector.ts';
import type { SurfacePoint } from './surfacePicker.ts';

/** The rim of a round mouth as points of a circle, print frame; starts at the point furthest along `toward`. */
export function mouthRing({ at, facing }: SurfacePoint, radius: number, toward: Vec3, count: number): Vec3[] {
  const across = cross(facing, toward);
  const helper: Vec3 = Math.abs(facing[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0];
  const v = normalized(Math.hypot(...across) > 1e-6 ? across : cross(facing, helper));
  const u = cross(v, facing);
  return Array.from({ length: count }, (_, i) => {
    const angle = (2 * Math.PI * i) / count;
    return add(at, add(scale(u, radius * Math.cos(angle)), scale(v, radius * Math.sin(angle))));
  });
}
