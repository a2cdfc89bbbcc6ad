import type { Mesh } from '../mesh/mesh.ts';
import type { ClosestPoint } from './closestPoint.ts';
import type { FacetRings } from './facetRings.ts';

/** Steps of one walk at most: one that goes on longer has left its start's neighbourhood. */
const MOST_STEPS = 24;
const single = new Uint32Array(1);

/**
 * Walks downhill over a surface towards a point: round the corner of `facet` nearest to it, then
 * across the edge or round the corner that the closest point so far lies on, until nothing closer comes or the closest point lies within its
 * facet. Keeps what it finds in `found` where it is closer than what stands there. `query` holds the
 * point, out of reach of boxing.
 *
 * Finds the closest point of all when it starts in its basin, as from the facet of the closest
 * surface sample; its distances are never too small.
 */
export function walkFacets(
  { positions, triangles }: Mesh,
  rings: FacetRings,
  facet: number,
  query: Float64Array,
  found: ClosestPoint,
): void {
  let region = offerRing(
    positions,
    triangles,
    rings,
    nearestCorner(positions, triangles, facet, query),
    query,
    found,
  );
  for (let step = 0; step < MOST_STEPS && region !== 0 && region !== INSIDE; step++) {
    const t = 3 * found.packed;
    const first = triangles[t + ((region & 1) !== 0 ? 0 : (region & 2) !== 0 ? 1 : 2)]!;
    if ((region & (region - 1)) === 0) {
      region = offerRing(positions, triangles, rings, first, query, found);
      continue;
    }
    const second = triangles[t + ((region & 4) !== 0 ? 2 : 1)]!;
    const next = facetAcross(triangles, rings, first, second, found.packed);
    region = next < 0 ? 0 : offerFacet(positions, triangles, next, query, found);
  }
}

function offerRing(
  positions: Float32Array,
  triangles: Uint32Array,
  { start, facets }: FacetRings,
  corner: number,
  query: Float64Array,
  found: ClosestPoint,
): number {
  return closestOfFacets(positions, triangles, facets, start[corner]!, start[corner + 1]!, query, found);
}

function nearestCorner(
  positions: Float32Array,
  triangles: Uint32Array,
  facet: number,
  query: Float64Array,
): number {
  let best = -1;
  let least = Infinity;
  for (let c = 3 * facet; c < 3 * facet + 3; c++) {
    const corner = triangles[c]!;
    const dx = positions[3 * corner]! - query[0]!;
    const dy = positions[3 * corner + 1]! - query[1]!;
    const dz = positions[3 * corner + 2]! - query[2]!;
    const squared = dx * dx + dy * dy + dz * dz;
    if (squared >= least) continue;
    least = squared;
    best = corner;
  }
  return best;
}

/** Another facet on the edge of two corners, −1 where there is none. */
function facetAcross(
  triangles: Uint32Array,
  { start, facets }: FacetRings,
  first: number,
  second: number,
  facet: number,
): number {
  const end = start[first + 1]!;
  for (let n = start[first]!; n < end; n++) {
    const other = facets[n]!;
    if (other === facet) continue;
    const t = 3 * other;
    if (triangles[t] === second || triangles[t + 1] === second || triangles[t + 2] === second) return other;
  }
  return -1;
}

/** Offers one facet, as `closestOfFacets` does. */
export function offerFacet(
  positions: Float32Array,
  triangles: Uint32Array,
  facet: number,
  query: Float64Array,
  found: ClosestPoint,
): number {
  single[0] = facet;
  return closestOfFacets(positions, triangles, single, 0, 1, query, found);
}

/** The region of a closest point within its facet; bits 1, 2, 4 alone name a corner, two of them an edge. */
const INSIDE = 7;

/**
 * Offers the facets list[from] … list[to − 1]. Returns the region of the closest point in its facet
 * (bits of the corners it lies between), 0 when none is closer than what stood in `found`.
 * Regions of the closest point after Ericson, Real-Time Collision Detection (2005), 5.1.5.
 */
function closestOfFacets(
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
  let closestRegion = 0;
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
    let region = 1;
    if (d1 > 0 || d2 > 0) {
      const vc = d1 * d4 - d3 * d2;
      const vb = d5 * d2 - d1 * d6;
      const va = d3 * d6 - d5 * d4;
      if (d3 >= 0 && d4 <= d3) {
        s = 1;
        region = 2;
      } else if (d6 >= 0 && d5 <= d6) {
        t = 1;
        region = 4;
      } else if (vc <= 0 && d1 >= 0 && d3 <= 0) {
        s = d1 / (d1 - d3);
        region = 3;
      } else if (vb <= 0 && d2 >= 0 && d6 <= 0) {
        t = d2 / (d2 - d6);
        region = 5;
      } else if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
        region = 6;
        t = (d4 - d3) / (d4 - d3 + (d5 - d6));
        s = 1 - t;
      } else {
        const scale = 1 / (va + vb + vc);
        s = vb * scale;
        t = vc * scale;
        region = INSIDE;
      }
    }
    if (!(s >= 0 && t >= 0)) {
      // A facet without area: one of its edges stands for it.
      s = uu > 0 ? Math.min(1, Math.max(0, d1 / uu)) : 0;
      t = 0;
      region = 3;
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
    closestRegion = region;
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
  return closestRegion;
}
