import { type ClosestPoint, closestPointScratch, tryFacet } from '../field/closestPoint.ts';
import type { Vec3 } from '../vector.ts';
import { leafBox, leafEnd, leavesWhere, type SurfaceIndex } from './surfaceIndex.ts';

/** The first look goes this far, mm; each further one twice as far. */
const FIRST_REACH_MM = 0.25;
const FARTHEST_MM = 1e6;

export interface OnSurface {
  readonly point: Vec3;
  /** In the mesh; −1 when there is none at all (no facets, or no number asked for). */
  readonly facet: number;
  readonly distanceMm: number;
}

/**
 * The point of a surface closest to `asked`, exactly; the first facet in the mesh where several are as close.
 * None where the surface is farther away than `farthest`, which is quicker to tell.
 */
export function closestOnSurface(index: SurfaceIndex, asked: Vec3, farthest = FARTHEST_MM): OnSurface {
  const found = closestPointScratch();
  for (let reach = 0; reach < farthest; ) {
    reach = Math.min(farthest, reach === 0 ? FIRST_REACH_MM : 2 * reach);
    const facet = closestWithin(index, asked, reach * reach, found);
    if (facet >= 0) {
      return { point: [found.x, found.y, found.z], facet, distanceMm: Math.sqrt(found.squared) };
    }
  }
  return { point: asked, facet: -1, distanceMm: Infinity };
}

function closestWithin(index: SurfaceIndex, asked: Vec3, squared: number, found: ClosestPoint): number {
  const [x, y, z] = asked;
  const corners = new Float32Array(9);
  const { positions, triangles } = index.mesh;
  found.squared = squared;
  let closest = -1;
  for (const first of leavesWhere(index, (boxes, box) => squaredTo(boxes, box, asked) < squared)) {
    if (squaredTo(index.boxes, leafBox(first), asked) >= found.squared) continue;
    const end = leafEnd(index, first);
    for (let facet = first; facet < end; facet++) {
      for (let corner = 0; corner < 9; corner++) {
        corners[corner] = positions[3 * triangles[3 * facet + Math.floor(corner / 3)]! + (corner % 3)]!;
      }
      found.packed = -1;
      tryFacet(corners, 0, x, y, z, found);
      if (found.packed === 0) closest = facet;
    }
  }
  return closest;
}

function squaredTo(boxes: Float32Array, box: number, [x, y, z]: Vec3): number {
  const dx = Math.max(boxes[box]! - x, x - boxes[box + 3]!, 0);
  const dy = Math.max(boxes[box + 1]! - y, y - boxes[box + 4]!, 0);
  const dz = Math.max(boxes[box + 2]! - z, z - boxes[box + 5]!, 0);
  return dx * dx + dy * dy + dz * dz;
}
