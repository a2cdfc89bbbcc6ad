import type { Mesh } from '../mesh/mesh.ts';
import { vertexNormals } from '../surface/vertexNormals.ts';
import type { SkinPoints } from './skinPoints.ts';

/** The corners of a cavity as points of the solid's skin: its facets face the solid, the skin faces the void. */
export function cavitySkin(mesh: Mesh): SkinPoints {
  const normals = vertexNormals(mesh);
  for (let i = 0; i < normals.length; i++) normals[i] = -normals[i]!;
  return { points: mesh.positions, normals, areaMm2: vertexAreas(mesh) };
}

function vertexAreas({ positions: p, triangles: t }: Mesh): Float32Array {
  const areas = new Float32Array(p.length / 3);
  for (let f = 0; f < t.length; f += 3) {
    const a = 3 * t[f]!;
    const b = 3 * t[f + 1]!;
    const c = 3 * t[f + 2]!;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    const z = ux * vy - uy * vx;
    const third = Math.sqrt(x * x + y * y + z * z) / 6;
    areas[t[f]!]! += third;
    areas[t[f + 1]!]! += third;
    areas[t[f + 2]!]! += third;
  }
  return areas;
}
