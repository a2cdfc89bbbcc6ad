import { uninterrupted } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type ConvexBody, standsWithin } from './convexBody.ts';
import { facetsNear } from './facetsNear.ts';

/** More than coordinates are rounded by. */
const nearMm = 0.01;

/** By body, the facets with all three corners in it, give or take the rounding of coordinates. */
export function facetsWithin(mesh: Mesh, bodies: readonly ConvexBody[]): number[][] {
  const { positions, triangles } = mesh;
  return facetsNear(mesh, bodies, nearMm, uninterrupted).map((facets, n) =>
    facets.filter((facet) =>
      [0, 1, 2].every((corner) => standsWithin(bodies[n]!, positions, 3 * triangles[3 * facet + corner]!)),
    ),
  );
}
