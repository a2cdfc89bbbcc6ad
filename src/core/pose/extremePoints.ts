import { axisDirections } from '../axisDirections.ts';
import { furthestAlong } from '../furthestAlong.ts';
import { sphereDirections } from '../sphereDirections.ts';

const DIRECTIONS = 600;
/**
 * The points of a mesh that lie furthest in some direction out of 600 spread over the sphere and the six
 * axes, each once, three numbers each: nearly its hull. Blunt corners between two directions (8° apart) are
 * missed, so a width measured on these points is a little too small.
 */
export function extremePoints(positions: Float32Array): Float64Array {
  const found = new Set<number>();
  for (const way of [...axisDirections, ...sphereDirections(DIRECTIONS)]) {
    found.add(furthestAlong(positions, way));
  }
  const points = [...found].sort((a, b) => a - b);
  return Float64Array.from(points.flatMap((at) => [positions[at]!, positions[at + 1]!, positions[at + 2]!]));
}
