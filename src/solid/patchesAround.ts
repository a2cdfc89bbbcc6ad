import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { findRoot, joinSets, singletons } from '../core/unionFind.ts';
import { type ConvexBody, scratchFor, triangleMeets } from './convexBody.ts';

/** What one cut has to do with: bodies near each other, and every facet that comes near one of them. */
export interface Patch {
  /** Numbers of the bodies. */
  readonly bodies: readonly number[];
  /** In the order of the mesh. */
  readonly facets: Uint32Array;
}

const facetsPerTick = 1 << 16;

/**
 * The facets within `margin` (mm) of each body; bodies that share a facet, or whose boxes meet, share
 * a patch. No facet is in two patches, and none outside a patch comes within the margin of its bodies.
 */
export function patchesAround(
  mesh: Mesh,
  bodies: readonly ConvexBody[],
  margin: number,
  interrupter: Interrupter,
): Patch[] {
  const parent = singletons(bodies.length);
  bodies.forEach((body, n) => {
    for (let other = 0; other < n; other++) {
      if (boxesMeet(body, bodies[other]!, 2 * margin)) joinSets(parent, n, other);
    }
  });
  const near = nearFacets(mesh, bodies, margin, interrupter);
  const holder = new Map<number, number>();
  near.forEach((facets, n) => {
    for (const facet of facets) {
      const other = holder.get(facet);
      if (other === undefined) holder.set(facet, n);
      else joinSets(parent, n, other);
    }
  });
  return bodies.flatMap((_, n) => {
    if (findRoot(parent, n) !== n) return [];
    const members = bodies.flatMap((_body, m) => (findRoot(parent, m) === n ? [m] : []));
    const facets = new Set(members.flatMap((m) => near[m]!));
    return [{ bodies: members, facets: Uint32Array.from(facets).sort() }];
  });
}

const boxesMeet = (a: ConvexBody, b: ConvexBody, margin: number): boolean =>
  a.min.every((low, axis) => low <= b.max[axis]! + margin && b.min[axis]! <= a.max[axis]! + margin);

function nearFacets(
  mesh: Mesh,
  bodies: readonly ConvexBody[],
  margin: number,
  interrupter: Interrupter,
): number[][] {
  const { positions: p, triangles: t } = mesh;
  const facets = t.length / 3;
  const scratch = scratchFor(bodies);
  const low = boxSides(bodies, ({ min }, axis) => min[axis]! - margin);
  const high = boxSides(bodies, ({ max }, axis) => max[axis]! + margin);
  const near = bodies.map((): number[] => []);
  for (let facet = 0; facet < facets; facet++) {
    if (facet % facetsPerTick === 0) interrupter(facet / facets);
    const a = 3 * t[3 * facet]!;
    const b = 3 * t[3 * facet + 1]!;
    const c = 3 * t[3 * facet + 2]!;
    const ax = p[a]!;
    const bx = p[b]!;
    const cx = p[c]!;
    for (let n = 0, box = 0; n < bodies.length; n++, box += 3) {
      const lowX = low[box]!;
      const highX = high[box]!;
      if ((ax < lowX && bx < lowX && cx < lowX) || (ax > highX && bx > highX && cx > highX)) continue;
      if (triangleMeets(bodies[n]!, margin, p, a, b, c, scratch)) near[n]!.push(facet);
    }
  }
  return near;
}

const boxSides = (bodies: readonly ConvexBody[], side: (body: ConvexBody, axis: number) => number) =>
  Float64Array.from(bodies.flatMap((body) => [0, 1, 2].map((axis) => side(body, axis))));
