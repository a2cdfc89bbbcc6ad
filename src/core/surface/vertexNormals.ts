import type { Mesh } from '../mesh/mesh.ts';

/** Area-weighted unit normals, x,y,z per vertex; a vertex of no area keeps 0,0,0. */
export function vertexNormals({ positions, triangles }: Mesh): Float32Array {
  const normals = new Float32Array(positions.length);
  for (let i = 0; i < triangles.length; i += 3) {
    const a = 3 * triangles[i]!;
    const b = 3 * triangles[i + 1]!;
    const c = 3 * triangles[i + 2]!;
    const ux = positions[b]! - positions[a]!;
    const uy = positions[b + 1]! - positions[a + 1]!;
    const uz = positions[b + 2]! - positions[a + 2]!;
    const vx = positions[c]! - positions[a]!;
    const vy = positions[c + 1]! - positions[a + 1]!;
    const vz = positions[c + 2]! - positions[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    normals[a]! += nx;
    normals[a + 1]! += ny;
    normals[a + 2]! += nz;
    normals[b]! += nx;
    normals[b + 1]! += ny;
    normals[b + 2]! += nz;
    normals[c]! += nx;
    normals[c + 1]! += ny;
    normals[c + 2]! += nz;
  }
  for (let at = 0; at < normals.length; at += 3) {
    const x = normals[at]!;
    const y = normals[at + 1]!;
    const z = normals[at + 2]!;
    const length = Math.sqrt(x * x + y * y + z * z) || 1;
    normals[at] = x / length;
    normals[at + 1] = y / length;
    normals[at + 2] = z / length;
  }
  return normals;
}
