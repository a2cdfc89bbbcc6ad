import type { Vec3 } from '../vector.ts';

/**
 * A region that a hollow leaves solid: all points within `roundMm` of a box along the axes. A ball is
 * a box without size. In the frame of the mesh that is hollowed, mm.
 */
export interface KeptRegion {
  readonly at: Vec3;
  readonly halfSize: Vec3;
  readonly roundMm: number;
  /** Instead of all of the box: points of a chain, x y z each, which the box holds. */
  readonly chain?: readonly number[];
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
 * `found`; none where all are `atMost` away or farther. Exact outside and on the surface; inside where regions
 * overlap it is the deepest of them, which is never too deep and still 1-Lipschitz.
 */
export function nearestKept(
  regions: readonly KeptRegion[],
  x: number,
  y: number,
  z: number,
  found: KeptDistance,
  atMost = Infinity,
): void {
  found.region = -1;
  found.distance = atMost;
  for (let n = 0; n < regions.length; n++) {
    const { at, halfSize, roundMm, chain } = regions[n]!;
    const px = x - at[0];
    const py = y - at[1];
    const pz = z - at[2];
    const qx = Math.abs(px) - halfSize[0];
    const qy = Math.abs(py) - halfSize[1];
    const qz = Math.abs(pz) - halfSize[2];
    const deepest = Math.max(qx, qy, qz);
    if (deepest - roundMm >= found.distance) continue;
    if (chain !== undefined) {
      nearestOfChain(chain, roundMm, n, x, y, z, found);
      continue;
    }
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

function nearestOfChain(
  chain: readonly number[],
  roundMm: number,
  region: number,
  x: number,
  y: number,
  z: number,
  found: KeptDistance,
): void {
  for (let at = 0; at + 5 < chain.length; at += 3) {
    const ax = x - chain[at]!;
    const ay = y - chain[at + 1]!;
    const az = z - chain[at + 2]!;
    const wx = chain[at + 3]! - chain[at]!;
    const wy = chain[at + 4]! - chain[at + 1]!;
    const wz = chain[at + 5]! - chain[at + 2]!;
    const square = wx * wx + wy * wy + wz * wz;
    const share = square > 0 ? Math.min(1, Math.max(0, (ax * wx + ay * wy + az * wz) / square)) : 0;
    const dx = ax - share * wx;
    const dy = ay - share * wy;
    const dz = az - share * wz;
    const away = Math.sqrt(dx * dx + dy * dy + dz * dz);
    if (away - roundMm >= found.distance) continue;
    found.region = region;
    found.distance = away - roundMm;
    // On the middle line any way out will do.
    found.x = away > 0 ? dx / away : 1;
    found.y = away > 0 ? dy / away : 0;
    found.z = away > 0 ? dz / away : 0;
  }
}
