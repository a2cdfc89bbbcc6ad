import type { Vec3 } from '../core/vector.ts';
import { type ConvexBody, scratchFor, triangleMeets } from './convexBody.ts';

/** A sheet that closes a loop: corners 0…n−1 are the loop's, then come n of its far rim and the tip. */
export interface Cap {
  /** Three a corner, float32 values. */
  readonly positions: Float32Array;
  readonly triangles: Uint32Array;
}

/** The rim is wider than the loop by this share, so that an edge along the way spans a facet with its own image. */
const widening = 1 / 16;
const sidewaysTries = 16;

/**
 * Closes a loop far from the bodies: a sleeve leads from the loop to a rim beyond them, a cone ends
 * it. The sheet may cross itself and others, as only winding numbers about the bodies count; it never
 * comes within `clearance` (mm) of a body. Null when no way that was tried is free. `loop`: corners,
 * three numbers each, in the direction of the sheet's own border; the cap runs against it.
 */
export function capLoop(loop: Float32Array, bodies: readonly ConvexBody[], clearance: number): Cap | null {
  const middle = meanOf(loop);
  const reach = farthest(loop, middle) + Math.max(...bodies.map((body) => farthestCorner(body, middle)));
  const scratch = scratchFor(bodies);
  for (const way of waysOut(middle, bodies)) {
    const cap = capAlong(loop, middle, way, reach);
    if (isFree(cap, bodies, clearance, scratch)) return cap;
  }
  return null;
}

/** Along the bores both ways, then away from the middle of the bodies, then all round. */
function waysOut(middle: Vec3, bodies: readonly ConvexBody[]): Vec3[] {
  const centre = [0, 1, 2].map(
    (axis) => bodies.reduce((sum, body) => sum + body.middle[axis]!, 0) / bodies.length,
  );
  const away = middle.map((value, axis) => value - centre[axis]!);
  const length = Math.hypot(...away);
  const ways = bodies.flatMap(({ axis: [x, y, z] }): Vec3[] => [
    [x, y, z],
    [-x, -y, -z],
  ]);
  if (length > 0) ways.push(away.map((value) => value / length) as unknown as Vec3);
  // Points of a Fibonacci lattice on the sphere.
  for (let n = 0; n < sidewaysTries; n++) {
    const z = 1 - (2 * n + 1) / sidewaysTries;
    const turn = n * Math.PI * (3 - Math.sqrt(5));
    const r = Math.sqrt(1 - z * z);
    ways.push([r * Math.cos(turn), r * Math.sin(turn), z]);
  }
  return ways;
}

function capAlong(loop: Float32Array, middle: Vec3, way: Vec3, reach: number): Cap {
  const count = loop.length / 3;
  const positions = new Float32Array(2 * loop.length + 3);
  positions.set(loop);
  for (let at = 0; at < loop.length; at++) {
    const axis = at % 3;
    positions[loop.length + at] = loop[at]! + widening * (loop[at]! - middle[axis]!) + reach * way[axis]!;
  }
  for (let axis = 0; axis < 3; axis++) {
    positions[2 * loop.length + axis] = middle[axis]! + 1.5 * reach * way[axis]!;
  }
  const triangles = new Uint32Array(9 * count);
  for (let n = 0; n < count; n++) {
    const next = n + 1 < count ? n + 1 : 0;
    triangles.set(
      [next, n, count + n, next, count + n, count + next, count + next, count + n, 2 * count],
      9 * n,
    );
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
