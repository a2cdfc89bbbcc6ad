import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import type { Box, Vec3 } from '../vector.ts';

/** A facet that long is cut into no more pieces than this along an edge. */
const MOST_PIECES = 2000;
const CALL_MASK = 0x3fff;

/**
 * Goes over a surface in pieces of about `pieceMm2`: gives the middle of each, the outward normal, and the area that it
 * stands for; the areas sum to that of the facets that reach into `box`. Larger facets are cut up, of smaller ones
 * every so many-th is given, for all since the last. The same surface gives the same pieces in the same order.
 */
export function forSurfacePieces(
  { positions: p, triangles: t }: Mesh,
  box: Box,
  pieceMm2: number,
  visit: (at: Vec3, normal: Vec3, areaMm2: number) => void,
  interrupter: Interrupter,
): void {
  let owed = 0;
  for (let facet = 0; facet < t.length; facet += 3) {
    if ((facet & CALL_MASK) === 0) interrupter(facet / t.length);
    const [a, b, c] = [3 * t[facet]!, 3 * t[facet + 1]!, 3 * t[facet + 2]!];
    if (!reachesInto(p, a, b, c, box)) continue;
    const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
    const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
    const [nx, ny, nz] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const twice = Math.sqrt(nx * nx + ny * ny + nz * nz);
    if (!(twice > 0)) continue;
    const normal: Vec3 = [nx / twice, ny / twice, nz / twice];
    const areaMm2 = twice / 2;
    const at = (s: number, w: number): Vec3 => [
      p[a]! + s * ux + w * vx,
      p[a + 1]! + s * uy + w * vy,
      p[a + 2]! + s * uz + w * vz,
    ];
    if (areaMm2 <= pieceMm2) {
      owed += areaMm2;
      if (owed < pieceMm2) continue;
      visit(at(1 / 3, 1 / 3), normal, owed);
      owed = 0;
      continue;
    }
    const cuts = Math.min(MOST_PIECES, Math.ceil(Math.sqrt(areaMm2 / pieceMm2)));
    const each = areaMm2 / (cuts * cuts);
    for (let i = 0; i < cuts; i++) {
      for (let j = 0; i + j < cuts; j++) {
        visit(at((i + 1 / 3) / cuts, (j + 1 / 3) / cuts), normal, each);
        if (i + j + 1 < cuts) visit(at((i + 2 / 3) / cuts, (j + 2 / 3) / cuts), normal, each);
      }
    }
  }
}

/** Area of the facets that reach into a box, mm². */
export function areaWithin({ positions: p, triangles: t }: Mesh, box: Box, interrupter: Interrupter): number {
  let areaMm2 = 0;
  for (let facet = 0; facet < t.length; facet += 3) {
    if ((facet & CALL_MASK) === 0) interrupter(facet / t.length);
    const [a, b, c] = [3 * t[facet]!, 3 * t[facet + 1]!, 3 * t[facet + 2]!];
    if (!reachesInto(p, a, b, c, box)) continue;
    const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
    const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
    areaMm2 += Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx) / 2;
  }
  return areaMm2;
}

function reachesInto(p: Float32Array, a: number, b: number, c: number, { min, max }: Box): boolean {
  for (let axis = 0; axis < 3; axis++) {
    const [u, v, w] = [p[a + axis]!, p[b + axis]!, p[c + axis]!];
    if (Math.max(u, v, w) < min[axis]! || Math.min(u, v, w) > max[axis]!) return false;
  }
  return true;
}
