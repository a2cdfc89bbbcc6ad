import { add, dot, norm, scale, subtract, type Vec3 } from './vector.ts';

/** A solid round cylinder with flat ends. */
export interface Cylinder {
  readonly from: Vec3;
  /** Of length one. */
  readonly axis: Vec3;
  readonly length: number;
  readonly radius: number;
}

const MOST_STEPS = 500;
const STILL = 1e-7;

/**
 * Distance of two cylinders, 0 where they meet: the nearest point of the one, of the other, and so on, which comes to
 * the nearest pair of two convex bodies from above. Source: Cheney & Goldstein 1959, proximity maps, from memory.
 */
export function cylindersApart(first: Cylinder, second: Cylinder): number {
  let on = middleOf(first);
  let apart = Infinity;
  for (let step = 0; step < MOST_STEPS; step++) {
    const across = nearestIn(second, on);
    on = nearestIn(first, across);
    const now = norm(subtract(on, across));
    if (apart - now < STILL) return now;
    apart = now;
  }
  return apart;
}

const middleOf = ({ from, axis, length }: Cylinder): Vec3 => add(from, scale(axis, length / 2));

function nearestIn({ from, axis, length, radius }: Cylinder, point: Vec3): Vec3 {
  const along = dot(subtract(point, from), axis);
  const beside = subtract(subtract(point, from), scale(axis, along));
  const far = norm(beside);
  const foot = add(from, scale(axis, Math.min(length, Math.max(0, along))));
  return add(foot, far > radius ? scale(beside, radius / far) : beside);
}
