import type { Vec3 } from '../vector.ts';

/**
 * A region that a hollow leaves solid: all points within `roundMm` of a box along the axes. A ball is
 * a box without size. In the frame of the mesh that is hollowed, mm.
 */
export interface KeptRegion {
  readonly at: Vec3;
  readonly halfSize: Vec3;
  readonly roundMm: number;
}

/** Signed distance to the nearest of some regions, and its gradient (unit, outward). */
export interface KeptDistance {
  /** −1 when there are no regions. */
  region: number;
  distance: number;
  x: number;
  y: number;
  z: number;
}

export const keptDistanceScratch = (): KeptDistance => ({
  region: -1,
  distance: Infinity,
  x: 0,
  y: 0,
  z: 0,
});

/**
 * Signed distance in mm from a point to the union of the regions (negative inside), written into
 * `found`. Exact outside and on the surface; inside where regions overlap it is the deepest of them,
 * which is never too deep and still 1-Lipschitz.
 */
export function nearestKept(
  regions: readonly KeptRegion[],
  x: number,
  y: number,
  z: number,
  found: KeptDistance,
): void {
  found.region = -1;
  found.distance = Infinity;
  for (let n = 0; n < regions.length; n++) {
    const { at, halfSize, roundMm } = regions[n]!;
    const px = x - at[0];
    const py = y - at[1];
    const pz = z - at[2];
    const qx = Math.abs(px) - halfSize[0];
    const qy = Math.abs(py) - halfSize[1];
    const qz = Math.abs(pz) - halfSize[2];
    const deepest = Math.max(qx, qy, qz);
    if (deepest - roundMm >= found.distance) continue;
    const ox = Math.max(qx, 0);
    const oy = Math.max(qy, 0);
    const oz = Math.max(qz, 0);
    const outside = Math.sqrt(ox * ox + oy * oy + oz * oz);
    const distance = (outside > 0 ? outside : deepest) - roundMm;
    if (distance >= found.distance) continue;
    found.region = n;
    found.distance = distance;
    if (outside > 0) {
      found.x = (Math.sign(px) * ox) / outside;
      found.y = (Math.sign(py) * oy) / outside;
      found.z = (Math.sign(pz) * oz) / outside;
    } else {
      // Inside the box the nearest face is the way out; in the very middle any will do.
      found.x = qx === deepest ? (px < 0 ? -1 : 1) : 0;
      found.y = found.x === 0 && qy === deepest ? (py < 0 ? -1 : 1) : 0;
      found.z = found.x === 0 && found.y === 0 ? (pz < 0 ? -1 : 1) : 0;
    }
  }
}
