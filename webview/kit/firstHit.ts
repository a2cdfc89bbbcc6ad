import type { Mesh } from '../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../src/core/vector.ts';

/**
 * How far along a line (unit `direction`) the first facet of a mesh is met, from either side; Infinity where none is.
 * Facet by facet (Möller & Trumbore 1997): meant for meshes of some ten thousand.
 */
export function firstHit({ positions, triangles }: Mesh, from: Vec3, direction: Vec3): number {
  const [dx, dy, dz] = direction;
  let nearest = Infinity;
  for (let corner = 0; corner < triangles.length; corner += 3) {
    const a = 3 * triangles[corner]!;
    const b = 3 * triangles[corner + 1]!;
    const c = 3 * triangles[corner + 2]!;
    const [ax, ay, az] = [positions[a]!, positions[a + 1]!, positions[a + 2]!];
    const [ux, uy, uz] = [positions[b]! - ax, positions[b + 1]! - ay, positions[b + 2]! - az];
    const [vx, vy, vz] = [positions[c]! - ax, positions[c + 1]! - ay, positions[c + 2]! - az];
    const [px, py, pz] = [dy * vz - dz * vy, dz * vx - dx * vz, dx * vy - dy * vx];
    const determinant = ux * px + uy * py + uz * pz;
    if (determinant === 0) continue;
    const [tx, ty, tz] = [from[0] - ax, from[1] - ay, from[2] - az];
    const u = (tx * px + ty * py + tz * pz) / determinant;
    if (u < 0 || u > 1) continue;
    const [qx, qy, qz] = [ty * uz - tz * uy, tz * ux - tx * uz, tx * uy - ty * ux];
    const v = (dx * qx + dy * qy + dz * qz) / determinant;
    if (v < 0 || u + v > 1) continue;
    const away = (vx * qx + vy * qy + vz * qz) / determinant;
    if (away > 0 && away < nearest) nearest = away;
  }
  return nearest;
}
