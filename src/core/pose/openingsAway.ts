import { dot, type Vec3 } from '../vector.ts';

/** A vent or drain that is decided, and the hollow it opens. Source axes at finished size, mm. */
export interface PoseOpening {
  readonly at: Vec3;
  /** At which end of its hollow it does its work: a vent breathes from the plate end on, a drain empties at the film end. */
  readonly end: 'plate' | 'film';
  /** Points whose hull is the hollow's, or nearly so; three numbers each. */
  readonly hollow: Float64Array;
}

/**
 * How far the openings of a part lie from the ends of their hollows where they should be, mm, on average; 0 without any.
 * `up` (unit) points from the plate to the film.
 */
export function openingsAway(openings: readonly PoseOpening[], up: Vec3): number {
  if (openings.length === 0) return 0;
  return openings.reduce((sum, opening) => sum + awayOf(opening, up), 0) / openings.length;
}

function awayOf({ at, end, hollow }: PoseOpening, up: Vec3): number {
  const [x, y, z] = end === 'plate' ? up : up.map((part) => -part);
  let lowest = Number.POSITIVE_INFINITY;
  for (let n = 0; n < hollow.length; n += 3) {
    lowest = Math.min(lowest, x! * hollow[n]! + y! * hollow[n + 1]! + z! * hollow[n + 2]!);
  }
  return Math.max(0, dot([x!, y!, z!], at) - lowest);
}
