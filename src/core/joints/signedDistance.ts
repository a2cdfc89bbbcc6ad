import { type ClosestPoint, closestPoint, closestPointScratch, tryFacet } from '../field/closestPoint.ts';
import { childEnd, childStart, type FacetTree, leafEnd, leafStart } from '../field/facetTree.ts';
import { dot, norm, subtract, type Vec3 } from '../vector.ts';

/** Distance of a point from a closed surface, and what it looks at there. Frame and unit of the surface. */
export interface SignedPoint {
  /** Negative inside. */
  readonly distance: number;
  /** Closest point of the surface. */
  readonly closest: Vec3;
  /** Outward, of length one; of an edge or a corner the mean of what meets there. */
  readonly normal: Vec3;
}

/** Facets whose closest points lie this near each other, mm, meet there. */
const SAME_POINT = 1e-4;
/** Nearer than this, mm, a point lies on the surface: which side of it is rounding. */
const ON_SURFACE = 1e-5;
/** A point looks straight at a facet when its direction leaves the normal by less than this (1 − cosine). */
const STRAIGHT = 1e-9;

/**
 * Signed distances to a closed, outward surface. The side is told by the mean normal of the facets that meet at the
 * closest point, weighed by their angles there (Baerentzen & Aanaes 2005), which is right at edges and corners too.
 */
export function signedDistances(tree: FacetTree): (point: Vec3, within: number) => SignedPoint | null {
  const found = closestPointScratch();
  const tied = closestPointScratch();
  let hint = -1;
  return (point, within) => {
    const [x, y, z] = point;
    closestPoint(tree, x, y, z, hint, found, within * within);
    if (found.packed < 0) return null;
    hint = found.packed;
    const closest: Vec3 = [found.x, found.y, found.z];
    const away = subtract(point, closest);
    const distance = Math.sqrt(found.squared);
    const facing = facetNormal(tree.corners, found.packed);
    if (distance < ON_SURFACE && norm(facing) > 0) return { distance: 0, closest, normal: facing };
    const along = dot(away, facing);
    const isStraight = norm(facing) > 0 && Math.abs(along) > distance * (1 - STRAIGHT);
    const normal = isStraight ? facing : meanNormal(tree, point, closest, distance, tied);
    return { distance: dot(away, normal) < 0 ? -distance : distance, closest, normal };
  };
}

/** Of length one; nil for a facet without area. */
export function facetNormal(corners: Float32Array, packed: number): Vec3 {
  const o = 9 * packed;
  const [ux, uy, uz] = [
    corners[o + 3]! - corners[o]!,
    corners[o + 4]! - corners[o + 1]!,
    corners[o + 5]! - corners[o + 2]!,
  ];
  const [vx, vy, vz] = [
    corners[o + 6]! - corners[o]!,
    corners[o + 7]! - corners[o + 1]!,
    corners[o + 8]! - corners[o + 2]!,
  ];
  const [nx, ny, nz] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  const length = Math.sqrt(nx * nx + ny * ny + nz * nz);
  return length > 0 ? [nx / length, ny / length, nz / length] : [0, 0, 0];
}

function meanNormal(
  tree: FacetTree,
  point: Vec3,
  closest: Vec3,
  distance: number,
  scratch: ClosestPoint,
): Vec3 {
  let sum: Vec3 = [0, 0, 0];
  const reach = (distance + SAME_POINT) ** 2;
  forFacetsWithin(tree, point, reach, (packed) => {
    scratch.squared = reach;
    scratch.packed = -1;
    tryFacet(tree.corners, packed, point[0], point[1], point[2], scratch);
    if (scratch.packed < 0) return;
    const own: Vec3 = [scratch.x, scratch.y, scratch.z];
    if (norm(subtract(own, closest)) > SAME_POINT) return;
    const [nx, ny, nz] = facetNormal(tree.corners, packed);
    const weight = angleAt(tree.corners, packed, closest);
    sum = [sum[0] + weight * nx, sum[1] + weight * ny, sum[2] + weight * nz];
  });
  const length = norm(sum);
  return length > 0 ? [sum[0] / length, sum[1] / length, sum[2] / length] : [0, 0, 0];
}

/** How much of the surface round a point of a facet the facet is: its angle at a corner, half a turn elsewhere. */
function angleAt(corners: Float32Array, packed: number, at: Vec3): number {
  const corner = (n: number): Vec3 => {
    const o = 9 * packed + 3 * (n % 3);
    return [corners[o]!, corners[o + 1]!, corners[o + 2]!];
  };
  for (let n = 0; n < 3; n++) {
    const here = corner(n);
    if (norm(subtract(here, at)) > SAME_POINT) continue;
    const [u, v] = [subtract(corner(n + 1), here), subtract(corner(n + 2), here)];
    const lengths = norm(u) * norm(v);
    return lengths > 0 ? Math.acos(Math.min(1, Math.max(-1, dot(u, v) / lengths))) : 0;
  }
  return Math.PI;
}

function forFacetsWithin(
  tree: FacetTree,
  [x, y, z]: Vec3,
  squared: number,
  visit: (packed: number) => void,
): void {
  const { boxes, levelStart } = tree;
  const open: [box: number, level: number][] = [[levelStart.at(-1)! - 1, levelStart.length - 2]];
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    const [box, level] = next;
    if (level === 0) {
      for (let packed = leafStart(box); packed < leafEnd(tree, box); packed++) visit(packed);
      continue;
    }
    for (let child = childStart(tree, level, box); child < childEnd(tree, level, box); child++) {
      const b = 6 * child;
      const dx = Math.max(boxes[b]! - x, x - boxes[b + 3]!, 0);
      const dy = Math.max(boxes[b + 1]! - y, y - boxes[b + 4]!, 0);
      const dz = Math.max(boxes[b + 2]! - z, z - boxes[b + 5]!, 0);
      if (dx * dx + dy * dy + dz * dz <= squared) open.push([child, level - 1]);
    }
  }
}
