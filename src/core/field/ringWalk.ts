import type { Mesh } from '../mesh/mesh.ts';
import type { ClosestPoint } from './closestPoint.ts';
import type { FacetRings } from './facetRings.ts';

/** Rings looked at in one walk at most: one that goes on longer has left its start's neighbourhood. */
const MOST_RINGS = 12;

/**
 * Walks downhill over a surface towards a point: through the facets round the corner of `facet`
 * nearest to it, then round the corner nearest to what was found, until nothing closer comes or the
 * closest point lies within its facet. Keeps what it finds in `found` where it is closer than what
 * stands there. `query` holds the point, out of reach of boxing.
 *
 * Finds the closest point of all when it starts in its basin, as from the facet of the closest
 * surface sample; its distances are never too small.
 */
export function walkRings(
  { positions, triangles }: Mesh,
  { start, facets }: FacetRings,
  facet: number,
  query: Float64Array,
  found: ClosestPoint,
): void {
  let corner = nearestCorner(positions, triangles, facet, query[0]!, query[1]!, query[2]!);
  for (let ring = 0; ring < MOST_RINGS; ring++) {
    const last = start[corner + 1]!;
    const isInterior = closestOfFacets(positions, triangles, facets, start[corner]!, last, query, found);
    if (isInterior !== 0) return;
    const next = nearestCorner(positions, triangles, found.packed, found.x, found.y, found.z);
    if (next === corner) return;
    corner = next;
  }
}

function nearestCorner(
  positions: Float32Array,
  triangles: Uint32Array,
  facet: number,
  x: number,
  y: number,
  z: number,
): number {
  let best = -1;
  let least = Infinity;
  for (let c = 3 * facet; c < 3 * facet + 3; c++) {
    const corner = triangles[c]!;
    const dx = positions[3 * corner]! - x;
    const dy = positions[3 * corner + 1]! - y;
    const dz = positions[3 * corner + 2]! - z;
    const squared = dx * dx + dy * dy + dz * dz;
    if (squared >= least) continue;
    least = squared;
    best = corner;
  }
  return best;
}

/**
 * Offers the facets list[from] … list[to − 1]. Returns 1 when the walk may stop: the closest point
 * lies within its facet, or no facet of these is closer than what stood in `found`.
 * Regions of the closest point after Ericson, Real-Time Collision Detection (2005), 5.1.5.
 */
export function closestOfFacets(
  positions: Float32Array,
  triangles: Uint32Array,
  list: Uint32Array,
  from: number,
  to: number,
  query: Float64Array,
  found: ClosestPoint,
): number {
  const x = query[0]!;
  const y = query[1]!;
  const z = query[2]!;
  let least = found.squared;
  let packed = -1;
  let footX = 0;
  let footY = 0;
  let footZ = 0;
  let stops = 1;
  for (let n = from; n < to; n++) {
    const facet = list[n]!;
    const a = 3 * triangles[3 * facet]!;
    const b = 3 * triangles[3 * facet + 1]!;
    const c = 3 * triangles[3 * facet + 2]!;
    const ax = positions[a]!;
    const ay = positions[a + 1]!;
    const az = positions[a + 2]!;
    const ux = positions[b]! - ax;
    const uy = positions[b + 1]! - ay;
    const uz = positions[b + 2]! - az;
    const vx = positions[c]! - ax;
    const vy = positions[c + 1]! - ay;
    const vz = positions[c + 2]! - az;
    const px = x - ax;
    const py = y - ay;
    const pz = z - az;
    const d1 = ux * px + uy * py + uz * pz;
    const d2 = vx * px + vy * py + vz * pz;
    const uu = ux * ux + uy * uy + uz * uz;
    const uv = ux * vx + uy * vy + uz * vz;
    const vv = vx * vx + vy * vy + vz * vz;
    const d3 = d1 - uu;
    const d4 = d2 - uv;
    const d5 = d1 - uv;
    const d6 = d2 - vv;
    // Weights of b and c in the closest point.
    let s = 0;
    let t = 0;
    let isInterior = 0;
    if (d1 > 0 || d2 > 0) {
      const vc = d1 * d4 - d3 * d2;
      const vb = d5 * d2 - d1 * d6;
      const va = d3 * d6 - d5 * d4;
      if (d3 >= 0 && d4 <= d3) s = 1;
      else if (d6 >= 0 && d5 <= d6) t = 1;
      else if (vc <= 0 && d1 >= 0 && d3 <= 0) s = d1 / (d1 - d3);
      else if (vb <= 0 && d2 >= 0 && d6 <= 0) t = d2 / (d2 - d6);
      else if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
        t = (d4 - d3) / (d4 - d3 + (d5 - d6));
        s = 1 - t;
      } else {
        const scale = 1 / (va + vb + vc);
        s = vb * scale;
        t = vc * scale;
        isInterior = 1;
      }
    }
    if (!(s >= 0 && t >= 0)) {
      // A facet without area: one of its edges stands for it.
      s = uu > 0 ? Math.min(1, Math.max(0, d1 / uu)) : 0;
      t = 0;
      isInterior = 0;
    }
    const cx = s * ux + t * vx;
    const cy = s * uy + t * vy;
    const cz = s * uz + t * vz;
    const ex = px - cx;
    const ey = py - cy;
    const ez = pz - cz;
    const squared = ex * ex + ey * ey + ez * ez;
    if (squared >= least) continue;
    least = squared;
    packed = facet;
    stops = isInterior;
    footX = ax + cx;
    footY = ay + cy;
    footZ = az + cz;
  }
  if (packed >= 0) {
    found.squared = least;
    found.packed = packed;
    found.x = footX;
    found.y = footY;
    found.z = footZ;
  }
  return stops;
}
