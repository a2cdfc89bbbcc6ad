import type { Mesh } from '../core/mesh/mesh.ts';
import type { Box } from '../core/vector.ts';

/** A box as a closed, outward mesh. Corner number: bit 0 = high x, bit 1 = high y, bit 2 = high z. */
export function boxMesh({ min, max }: Box): Mesh {
  const positions = new Float32Array(24);
  for (let at = 0; at < 24; at++) {
    const axis = at % 3;
    positions[at] = ((Math.floor(at / 3) >> axis) & 1) === 1 ? max[axis]! : min[axis]!;
  }
  return { positions, triangles: boxTriangles };
}

const boxTriangles = Uint32Array.from(
  [
    [0, 2, 3, 0, 3, 1],
    [4, 5, 7, 4, 7, 6],
    [0, 1, 5, 0, 5, 4],
    [2, 6, 7, 2, 7, 3],
    [0, 4, 6, 0, 6, 2],
    [1, 3, 7, 1, 7, 5],
  ].flat(),
);
