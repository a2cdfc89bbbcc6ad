import { add, cross, norm, normalized, scale, subtract, type Vec3 } from '../core/vector.ts';
import { type ConvexBody, scratchFor, triangleMeets } from './convexBody.ts';

/** A sheet that closes a loop: corners 0…n−1 are the loop's, then come n of its far rim and the tip. */
export interface Cap {
  /** Three a corner, float32 values. */
  readonly positions: Float32Array;
  readonly triangles: Uint32Array;
}

/** The rim is wider than the loop by this share, so that an edge along the way spans a facet with its own image. */
const widening = 1 / 16;
/** How much further from the middle of a body than the loop the rim is, where the sleeve leads away from it. */
const spreading = 3;
const triesAllRound = 32;
/** Of a crowd of bodies only so many are tried to lead away from. */
const mostCentres = 16;

/**
 * Closes a loop far from the bodies: a sleeve leads from the loop to a wider rim, a cone ends it. The
 * sheet may cross itself and others, as only winding numbers about the bodies count; it never comes
 * within `clearance` (mm) of a body. Null when no way that was tried is free, which takes several
 * bodies: away from a point within it nothing runs into a convex one. `loop`: corners, three numbers
 * each, in the direction of the sheet's own border; the cap runs against it.
 */
export function capLoop(loop: Float32Array, bodies: readonly ConvexBody[], clearance: number): Cap | null {
  const scratch = scratchFor(bodies);
  for (const cap of capsToTry(loop, bodies)) if (isFree(cap, bodies, clearance, scratch)) return cap;
  return null;
}

/** Sleeves along the bores and square to the loop, then away from each body, with tips in many places. */
function* capsToTry(loop: Float32Array, bodies: readonly ConvexBody[]): Generator<Cap> {
  const middle = meanOf(loop);
  const reach = farthest(loop, middle) + Math.max(...bodies.map((body) => farthestCorner(body, middle)));
  const ways = differentAxes(bodies).flatMap((axis) => [axis, scale(axis, -1)]);
  const square = areaVector(loop, middle);
  if (norm(square) > 0) ways.push(normalized(square), normalized(scale(square, -1)));
  for (const way of ways) {
    const rim = spread(loop, middle, 1 + widening, scale(way, reach));
    yield capWith(loop, rim, add(middle, scale(way, 1.5 * reach)));
  }
  ways.push(...allRound());
  for (const { middle: centre } of bodies.slice(0, mostCentres)) {
    const rim = spread(loop, centre, spreading, [0, 0, 0]);
    for (const way of ways) yield capWith(loop, rim, add(centre, scale(way, 2 * spreading * reach)));
  }
}

function differentAxes(bodies: readonly ConvexBody[]): Vec3[] {
  const axes = new Map(bodies.map(({ axis }) => [axis.map((value) => value.toFixed(6)).join(), axis]));
  return [...axes.values()];
}

/** Points of a Fibonacci lattice on the sphere. */
const allRound = (): Vec3[] =>
  Array.from({ length: triesAllRound }, (_, n) => {
    const z = 1 - (2 * n + 1) / triesAllRound;
    const turn = n * Math.PI * (3 - Math.sqrt(5));
    const r = Math.sqrt(1 - z * z);
    return [r * Math.cos(turn), r * Math.sin(turn), z];
  });

/** Corners moved away from a centre to `factor` times their distance, then shifted. */
const spread = (corners: Float32Array, centre: Vec3, factor: number, shift: Vec3): Float32Array =>
  corners.map((value, at) => {
    const axis = (at % 3) as 0 | 1 | 2;
    return centre[axis] + factor * (value - centre[axis]) + shift[axis];
  });

function capWith(loop: Float32Array, rim: Float32Array, tip: Vec3): Cap {
  const count = loop.length / 3;
  const positions = new Float32Array(2 * loop.length + 3);
  positions.set(loop);
  positions.set(rim, loop.length);
  positions.set(tip, 2 * loop.length);
  const triangles = new Uint32Array(9 * count);
  for (let n = 0; n < count; n++) {
    const next = n + 1 < count ? n + 1 : 0;
    const sleeve = [next, n, count + n, next, count + n, count + next];
    triangles.set([...sleeve, count + next, count + n, 2 * count], 9 * n);
  }
  return { positions, triangles };
}

function isFree(
  { positions, triangles }: Cap,
  bodies: readonly ConvexBody[],
  clearance: number,
  scratch: [Float64Array, Float64Array],
): boolean {
  for (const body of bodies) {
    for (let at = 0; at < triangles.length; at += 3) {
      const [a, b, c] = [3 * triangles[at]!, 3 * triangles[at + 1]!, 3 * triangles[at + 2]!];
      if (triangleMeets(body, clearance, positions, a, b, c, scratch)) return false;
    }
  }
  return true;
}

function meanOf(corners: Float32Array): Vec3 {
  const sum = [0, 0, 0];
  for (let at = 0; at < corners.length; at++) sum[at % 3]! += corners[at]!;
  return sum.map((value) => (3 * value) / corners.length) as unknown as Vec3;
}

function areaVector(loop: Float32Array, middle: Vec3): Vec3 {
  let sum: Vec3 = [0, 0, 0];
  for (let at = 0; at < loop.length; at += 3) {
    const next = at + 3 < loop.length ? at + 3 : 0;
    const here = subtract([loop[at]!, loop[at + 1]!, loop[at + 2]!], middle);
    sum = add(sum, cross(here, subtract([loop[next]!, loop[next + 1]!, loop[next + 2]!], middle)));
  }
  return sum;
}

function farthest(corners: Float32Array, [x, y, z]: Vec3): number {
  let most = 0;
  for (let at = 0; at < corners.length; at += 3) {
    most = Math.max(most, Math.hypot(corners[at]! - x, corners[at + 1]! - y, corners[at + 2]! - z));
  }
  return most;
}

const farthestCorner = ({ min, max }: ConvexBody, point: Vec3): number =>
  Math.hypot(
    ...point.map((value, axis) => Math.max(Math.abs(value - min[axis]!), Math.abs(value - max[axis]!))),
  );
