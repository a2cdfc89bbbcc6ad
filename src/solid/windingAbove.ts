import type { Mesh } from '../core/mesh/mesh.ts';

/**
 * What the facets add to the winding number of a point by a ray upward (+z): for closed surfaces
 * their sum is the number. Edges seen end on or met by the ray count for exactly one of their sides,
 * whichever facet asks.
 */
export function windingAbove(
  { positions: p, triangles }: Mesh,
  facet: number,
  x: number,
  y: number,
  z: number,
): number {
  const a = 3 * triangles[3 * facet]!;
  const b = 3 * triangles[3 * facet + 1]!;
  const c = 3 * triangles[3 * facet + 2]!;
  // Most facets lie aside.
  const ay = p[a + 1]! <= y;
  if (ay === p[b + 1]! <= y && ay === p[c + 1]! <= y) return 0;
  if (p[a]! < x && p[b]! < x && p[c]! < x) return 0;
  if (p[a + 2]! < z && p[b + 2]! < z && p[c + 2]! < z) return 0;
  const turns = edgeTurn(p, a, b, x, y) + edgeTurn(p, b, c, x, y) + edgeTurn(p, c, a, x, y);
  return turns !== 0 && isBelow(p, a, b, c, x, y, z, turns) ? turns : 0;
}

/** Of a half-plane crossing: +1 when the edge, seen from above, crosses the ray from (x, y) along +x upward. */
function edgeTurn(p: Float32Array, from: number, to: number, x: number, y: number): number {
  const up = p[from + 1]! <= y;
  if (up === p[to + 1]! <= y) return 0;
  const low = up ? from : to;
  const high = up ? to : from;
  // Both facets of an edge work this out from the same end, so that they agree.
  const left = (p[high]! - p[low]!) * (y - p[low + 1]!) - (x - p[low]!) * (p[high + 1]! - p[low + 1]!) > 0;
  if (!left) return 0;
  return up ? 1 : -1;
}

/** Whether the point is below the facet that it is seen under; `turns`: the sense the facet is seen in. */
function isBelow(
  p: Float32Array,
  a: number,
  b: number,
  c: number,
  x: number,
  y: number,
  z: number,
  turns: number,
): boolean {
  const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
  const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
  const above =
    (uy * vz - uz * vy) * (x - p[a]!) +
    (uz * vx - ux * vz) * (y - p[a + 1]!) +
    (ux * vy - uy * vx) * (z - p[a + 2]!);
  return turns * above < 0;
}
