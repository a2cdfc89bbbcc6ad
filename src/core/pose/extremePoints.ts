import { sphereDirections } from '../sphereDirections.ts';
import type { Vec3 } from '../vector.ts';

const DIRECTIONS = 600;
const axes: readonly Vec3[] = [
  [1, 0, 0],
  [-1, 0, 0],
  [0, 1, 0],
  [0, -1, 0],
  [0, 0, 1],
  [0, 0, -1],
];

/**
 * The points of a mesh that lie furthest in some direction out of 600 spread over the sphere and the six
 * axes, each once, three numbers each: nearly its hull. Blunt corners between two directions (8° apart) are
 * missed, so a width measured on these points is a little too small.
 */
export function extremePoints(positions: Float32Array): Float64Array {
  const found = new Set<number>();
  for (const [x, y, z] of [...axes, ...sphereDirections(DIRECTIONS)]) {
    let best = -1;
    let most = -Infinity;
    for (let at = 0; at < positions.length; at += 3) {
      const along = x * positions[at]! + y * positions[at + 1]! + z * positions[at + 2]!;
      if (along <= most) continue;
      most = along;
      best = at;
    }
    if (best >= 0) found.add(best);
  }
  const points = [...found].sort((a, b) => a - b);
  return Float64Array.from(points.flatMap((at) => [positions[at]!, positions[at + 1]!, positions[at + 2]!]));
}
