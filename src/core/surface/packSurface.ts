import { boundsOf } from '../mesh/boundsOf.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { encodeNormal } from './octahedralNormal.ts';
import { mostSteps, type PackedSurface, wordsPerVertex } from './packedSurface.ts';

/**
 * Positions rounded to steps of the longest extent / 65535, normals to 16 bits. `scale` is mm per
 * unit of the mesh, `error` in the mesh's unit. Indices stay, so closed surfaces stay closed.
 */
export function packSurface(mesh: Mesh, normals: Float32Array, error: number, scale: number): PackedSurface {
  const { positions, triangles } = mesh;
  const { min, max } = boundsOf(positions);
  const extent = positions.length === 0 ? 0 : Math.max(max[0] - min[0], max[1] - min[1], max[2] - min[2]);
  const step = extent === 0 ? 1 / mostSteps : extent / mostSteps;
  const origin = positions.length === 0 ? ([0, 0, 0] as const) : min;
  const count = positions.length / 3;
  const vertices = new Uint16Array(wordsPerVertex * count);
  for (let vertex = 0; vertex < count; vertex++) {
    const at = 3 * vertex;
    const to = wordsPerVertex * vertex;
    vertices[to] = Math.round((positions[at]! - origin[0]) / step);
    vertices[to + 1] = Math.round((positions[at + 1]! - origin[1]) / step);
    vertices[to + 2] = Math.round((positions[at + 2]! - origin[2]) / step);
    vertices[to + 3] = encodeNormal(normals[at]!, normals[at + 1]!, normals[at + 2]!);
  }
  return {
    origin: [scale * origin[0], scale * origin[1], scale * origin[2]],
    step: scale * step,
    errorMm: scale * error,
    vertexCount: count,
    triangleCount: triangles.length / 3,
    vertices,
    triangles,
  };
}
