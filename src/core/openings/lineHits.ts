import type { Mesh } from '../mesh/mesh.ts';
import type { Vec3 } from '../vector.ts';
import { leafEnd, leavesWhere, type SurfaceIndex } from './surfaceIndex.ts';

/** Where a line meets a facet. */
export interface LineHit {
  /** Distance along the line, in units of the direction given. */
  readonly at: number;
  readonly facet: number;
  /** True when the line goes in there (against the facet's normal). */
  readonly entering: boolean;
}

/** Crossings of the same sense nearer to each other than this are one, met on a shared edge. */
const SAME_HIT = 1e-5;
/** How far beyond its edges a facet still counts as hit, as a part of it: no line slips between two. */
const EDGE_SLACK = 1e-9;

/** All crossings of origin + t·direction with t in [from, to], ascending. Möller & Trumbore 1997. */
export function lineHits(
  index: SurfaceIndex,
  origin: Vec3,
  direction: Vec3,
  from: number,
  to: number,
): LineHit[] {
  const hits: LineHit[] = [];
  const meets = (boxes: Float32Array, box: number) => lineMeetsBox(boxes, box, origin, direction, from, to);
  for (const first of leavesWhere(index, meets)) {
    const end = leafEnd(index, first);
    for (let facet = first; facet < end; facet++) {
      const hit = hitFacet(index.mesh, facet, origin, direction);
      if (hit && hit.at >= from && hit.at <= to) hits.push(hit);
    }
  }
  hits.sort((a, b) => a.at - b.at || a.facet - b.facet);
  return hits.filter((hit, n) => {
    const before = hits[n - 1];
    return !(before && before.entering === hit.entering && hit.at - before.at < SAME_HIT);
  });
}

function lineMeetsBox(
  boxes: Float32Array,
  box: number,
  origin: Vec3,
  direction: Vec3,
  from: number,
  to: number,
): boolean {
  let low = from;
  let high = to;
  for (let axis = 0; axis < 3; axis++) {
    const near = boxes[box + axis]! - 1e-5 - origin[axis]!;
    const far = boxes[box + 3 + axis]! + 1e-5 - origin[axis]!;
    const way = direction[axis]!;
    if (way === 0) {
      if (near > 0 || far < 0) return false;
      continue;
    }
    low = Math.max(low, Math.min(near / way, far / way));
    high = Math.min(high, Math.max(near / way, far / way));
  }
  return low <= high;
}

function hitFacet(
  { positions: p, triangles }: Mesh,
  facet: number,
  [ox, oy, oz]: Vec3,
  [dx, dy, dz]: Vec3,
): LineHit | null {
  const a = 3 * triangles[3 * facet]!;
  const b = 3 * triangles[3 * facet + 1]!;
  const c = 3 * triangles[3 * facet + 2]!;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  const px = dy * vz - dz * vy;
  const py = dz * vx - dx * vz;
  const pz = dx * vy - dy * vx;
  const determinant = ux * px + uy * py + uz * pz;
  if (determinant === 0) return null;
  const sx = ox - p[a]!;
  const sy = oy - p[a + 1]!;
  const sz = oz - p[a + 2]!;
  const s = (sx * px + sy * py + sz * pz) / determinant;
  const qx = sy * uz - sz * uy;
  const qy = sz * ux - sx * uz;
  const qz = sx * uy - sy * ux;
  const t = (dx * qx + dy * qy + dz * qz) / determinant;
  if (s < -EDGE_SLACK || t < -EDGE_SLACK || s + t > 1 + EDGE_SLACK) return null;
  return { at: (vx * qx + vy * qy + vz * qz) / determinant, facet, entering: determinant > 0 };
}
