import type { ClosestPoint } from './closestPoint.ts';
import type { DepthProbe } from './depthProbe.ts';
import { type KeptRegion, keptDistanceScratch, nearestKept } from './keptRegion.ts';

/**
 * Answers as if the surface bulged inward round the regions that stay solid, so that the level of the
 * depth runs along them: at a distance s from a region the depth is no more than level + s. Where the
 * region decides, the closest point told is the one that gives this depth and its gradient, and the
 * facet stays the surface's own. `noFacet` stands for "no facet is near" wherever a facet is asked for
 * or told.
 */
export function keepingProbe(
  probe: DepthProbe,
  regions: readonly KeptRegion[],
  level: number,
  noFacet: number,
): DepthProbe {
  const { query } = probe;
  const kept = keptDistanceScratch();
  const offerKept = (found: ClosestPoint): void => {
    const within = Math.sqrt(found.squared) - level;
    nearestKept(regions, query[0]!, query[1]!, query[2]!, kept, within);
    if (kept.region < 0) return;
    const depth = Math.max(0, level + kept.distance);
    if (depth * depth >= found.squared) return;
    if (found.squared === Infinity) found.packed = noFacet;
    found.squared = depth * depth;
    found.x = query[0]! - depth * kept.x;
    found.y = query[1]! - depth * kept.y;
    found.z = query[2]! - depth * kept.z;
  };
  const isFacet = (facet: number): boolean => facet >= 0 && facet !== noFacet;
  return {
    query,
    nearest(first, second, found) {
      if (isFacet(first)) probe.nearest(first, isFacet(second) ? second : -1, found);
      else if (isFacet(second)) probe.nearest(second, -1, found);
      else found.squared = Infinity;
      offerKept(found);
    },
    nearer(first, found) {
      if (isFacet(first)) probe.nearer(first, found);
      offerKept(found);
    },
    on(facet, found) {
      if (isFacet(facet)) probe.on(facet, found);
      else found.squared = Infinity;
      offerKept(found);
    },
  };
}
