import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type ConvexBody, scratchFor, triangleMeets } from './convexBody.ts';

const facetsPerTick = 1 << 16;
/** Strips along x that bodies are filed under at most. */
const mostStrips = 4096;

/** The facets within `margin` (mm) of each body, in the order of the mesh. */
export function facetsNear(
  mesh: Mesh,
  bodies: readonly ConvexBody[],
  margin: number,
  interrupter: Interrupter,
): number[][] {
  const { positions: p, triangles: t } = mesh;
  const facets = t.length / 3;
  const near = bodies.map((): number[] => []);
  if (bodies.length === 0) return near;
  const scratch = scratchFor(bodies);
  const { low, width, members } = strips(bodies, margin);
  const last = members.length - 1;
  const sides = Float64Array.from(
    bodies.flatMap(({ min, max }) => [1, 2].flatMap((axis) => [min[axis]! - margin, max[axis]! + margin])),
  );
  // A wide body is in several strips and asked about once.
  const askedFor = new Int32Array(bodies.length).fill(-1);
  for (let facet = 0; facet < facets; facet++) {
    if (facet % facetsPerTick === 0) interrupter(facet / facets);
    const a = 3 * t[3 * facet]!;
    const b = 3 * t[3 * facet + 1]!;
    const c = 3 * t[3 * facet + 2]!;
    const from = Math.floor((Math.min(p[a]!, p[b]!, p[c]!) - low) / width);
    const to = Math.floor((Math.max(p[a]!, p[b]!, p[c]!) - low) / width);
    for (let strip = Math.max(0, from); strip <= Math.min(last, to); strip++) {
      for (const n of members[strip]!) {
        if (askedFor[n] === facet) continue;
        askedFor[n] = facet;
        const side = 4 * n;
        if (isAside(p[a + 1]!, p[b + 1]!, p[c + 1]!, sides[side]!, sides[side + 1]!)) continue;
        if (isAside(p[a + 2]!, p[b + 2]!, p[c + 2]!, sides[side + 2]!, sides[side + 3]!)) continue;
        if (triangleMeets(bodies[n]!, margin, p, a, b, c, scratch)) near[n]!.push(facet);
      }
    }
  }
  return near;
}

const isAside = (a: number, b: number, c: number, low: number, high: number): boolean =>
  (a < low && b < low && c < low) || (a > high && b > high && c > high);

interface Strips {
  /** x where the first begins, and how wide each is, mm. */
  readonly low: number;
  readonly width: number;
  /** Numbers of the bodies that reach into each. */
  readonly members: readonly (readonly number[])[];
}

/** Bodies by where they are along x: a facet has to do with few of a great many. */
function strips(bodies: readonly ConvexBody[], margin: number): Strips {
  const lows = bodies.map(({ min }) => min[0]! - margin);
  const highs = bodies.map(({ max }) => max[0]! + margin);
  const low = lows.reduce((a, b) => Math.min(a, b));
  const length = highs.reduce((a, b) => Math.max(a, b)) - low;
  const count = Math.min(mostStrips, 4 * bodies.length);
  const width = Math.max(length / count, Number.MIN_VALUE);
  const members = Array.from({ length: count + 1 }, (): number[] => []);
  bodies.forEach((_, n) => {
    const end = Math.min(count, Math.floor((highs[n]! - low) / width));
    for (let strip = Math.floor((lows[n]! - low) / width); strip <= end; strip++) members[strip]!.push(n);
  });
  return { low, width, members };
}
