import type { Mesh } from '../mesh/mesh.ts';
import { type PackedSurface, wordsPerVertex } from './packedSurface.ts';

/** The mesh that is drawn, positions in mm. */
export function unpackSurface({ origin, step, vertices, triangles, vertexCount }: PackedSurface): Mesh {
  const positions = new Float32Array(3 * vertexCount);
  for (let vertex = 0; vertex < vertexCount; vertex++) {
    for (let axis = 0; axis < 3; axis++) {
      positions[3 * vertex + axis] = origin[axis]! + step * vertices[wordsPerVertex * vertex + axis]!;
    }
  }
  return { positions, triangles };
}
