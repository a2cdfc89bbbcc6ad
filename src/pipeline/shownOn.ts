import { facetNormal } from '../core/openings/boreView.ts';
import { closestOnSurface } from '../core/openings/closestOnSurface.ts';
import type { OpenablePart } from '../core/openings/openablePart.ts';
import type { ShowSide } from '../core/showSide/showSide.ts';
import type { Vec3 } from '../core/vector.ts';

/** Whether the surface at a point is show side; that of a hollow never is. */
export function shownOn(
  { outer, cavity }: Pick<OpenablePart, 'outer' | 'cavity'>,
  shows: ShowSide,
): (at: Vec3) => boolean {
  return (at) => {
    const { facet, point, distanceMm } = closestOnSurface(outer, at);
    if (facet < 0 || (cavity !== null && closestOnSurface(cavity, at).distanceMm < distanceMm)) return false;
    const facing = facetNormal(outer.mesh, facet);
    return facing !== null && shows.holds(point, facing);
  };
}
