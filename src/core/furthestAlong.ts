import type { Vec3 } from './vector.ts';

/** Where in a list of points, three numbers each, the one that lies furthest along a direction begins; of equals the first; −1 for an empty list. */
export function furthestAlong(points: Float32Array | Float64Array, [x, y, z]: Vec3): number {
  let furthest = -1;
  let most = -Infinity;
  for (let at = 0; at < points.length; at += 3) {
    const reach = x * points[at]! + y * points[at + 1]! + z * points[at + 2]!;
    if (reach <= most) continue;
    most = reach;
    furthest = at;
  }
  return furthest;
}
