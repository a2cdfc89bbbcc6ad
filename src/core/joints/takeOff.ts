import { axisDirections } from '../axisDirections.ts';
import { sphereDirections } from '../sphereDirections.ts';
import { add, cross, dot, normalized, scale, squareTo, type Vec3 } from '../vector.ts';
import type { JointPlace } from './jointPlaces.ts';

/** Enough to tell a direction; taken evenly over the area. */
const MOST_PLACES = 4000;
const DIRECTIONS = 400;
/** Faces that look back along the way count this much against those that stand in it. */
const LEAVING = 0.02;
const FINEST = 1e-4;
/** An axis of the sculpt this near (1.5°) is meant, where it is about as good: pieces at a rim tilt the figure a little. */
const NEARLY = Math.cos((1.5 * Math.PI) / 180);
const AS_GOOD = 1e-3;
/** A face stands in the way when it leans into it by more than this: the sine of 10°. */
const CAUGHT = 0.17;

/**
 * The way in which the first part comes off the second: the direction into which least of its touching faces look, by
 * area and the square of their lean; among equals the one from which most look away. `caught` is the share of
 * the area that stands in the way all the same.
 */
export function takeOff(places: readonly JointPlace[]): { readonly off: Vec3; readonly caught: number } {
  const total = places.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
  const few = evenly(places, total / MOST_PLACES);
  const cost = (way: Vec3): number => {
    let against = 0;
    for (const { outOfFirst, areaMm2 } of few) {
      const lean = dot(way, outOfFirst);
      against += areaMm2 * ((lean > 0 ? lean * lean : 0) + LEAVING * lean);
    }
    return against / total;
  };
  let off: Vec3 = [0, 0, 1];
  let least = Infinity;
  const consider = (way: Vec3): void => {
    const own = cost(way);
    // Axes come first and stay where another way is no better than rounding.
    if (own < least - 1e-9) {
      off = way;
      least = own;
    }
  };
  for (const way of [...axisDirections, ...sphereDirections(DIRECTIONS)]) consider(way);
  for (let lean = 0.1; lean > FINEST; lean /= 2) {
    for (let tries = 0; tries < 8; tries++) {
      const before = least;
      const from = off;
      const side = squareTo(from);
      const other = cross(from, side);
      for (const turn of [side, scale(side, -1), other, scale(other, -1)]) {
        consider(normalized(add(from, scale(turn, lean))));
      }
      if (least === before) break;
    }
  }
  const plain = axisDirections.find((way) => dot(way, off) > NEARLY);
  if (plain !== undefined && cost(plain) < least + AS_GOOD) off = plain;
  const stuck = few.reduce(
    (sum, { outOfFirst, areaMm2 }) => (dot(off, outOfFirst) > CAUGHT ? sum + areaMm2 : sum),
    0,
  );
  return { off, caught: stuck / total };
}

interface Face {
  readonly outOfFirst: Vec3;
  readonly areaMm2: number;
}

/** A place for every so much area, for all since the last. */
function evenly(places: readonly JointPlace[], eachMm2: number): Face[] {
  const few: Face[] = [];
  let owed = 0;
  for (const { outOfFirst, areaMm2 } of places) {
    owed += areaMm2;
    if (owed < eachMm2) continue;
    few.push({ outOfFirst, areaMm2: owed });
    owed = 0;
  }
  return few;
}
