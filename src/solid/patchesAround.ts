import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { findRoot, joinSets, singletons } from '../core/unionFind.ts';
import type { ConvexBody } from './convexBody.ts';
import { facetsNear } from './facetsNear.ts';

/** What one cut has to do with: bodies near each other, and every facet that comes near one of them. */
export interface Patch {
  /** Numbers of the bodies. */
  readonly bodies: readonly number[];
  /** In the order of the mesh. */
  readonly facets: Uint32Array;
}

/** Two bodies by their numbers. */
export type Pair = readonly [number, number];

/**
 * The facets within `margin` (mm) of each body; bodies that share a facet share a patch, and so do
 * those of `together`. No facet is in two patches, and none outside a patch comes within the margin of
 * its bodies.
 */
export function patchesAround(
  mesh: Mesh,
  bodies: readonly ConvexBody[],
  margin: number,
  together: Iterable<Pair>,
  interrupter: Interrupter,
): Patch[] {
  const parent = singletons(bodies.length);
  for (const [n, other] of together) joinSets(parent, n, other);
  const near = facetsNear(mesh, bodies, margin, interrupter);
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

/** Bodies whose boxes, grown by `margin` (mm), meet: what is cut by both is cut by them as one. */
export function* meetingBoxes(bodies: readonly ConvexBody[], margin: number): Generator<Pair> {
  for (const [n, body] of bodies.entries()) {
    for (let other = 0; other < n; other++) if (boxesMeet(body, bodies[other]!, 2 * margin)) yield [n, other];
  }
}

const boxesMeet = (a: ConvexBody, b: ConvexBody, margin: number): boolean =>
  a.min.every((low, axis) => low <= b.max[axis]! + margin && b.min[axis]! <= a.max[axis]! + margin);
