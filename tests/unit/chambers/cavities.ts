import type { Cavity } from '../../../src/core/field/cavity.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import * as shapes from '../../shapes.ts';

/** A cavity of these chambers, which do not touch. */
export function cavityOf(...chambers: readonly Mesh[]): Cavity {
  return {
    mesh: shapes.join(...chambers),
    facetChamber: Uint32Array.from(
      chambers.flatMap(({ triangles }, chamber) => new Array(triangles.length / 3).fill(chamber) as number[]),
    ),
    chambers: chambers.map((mesh) => ({ volumeMm3: shapes.volumeOf(mesh), centroid: [0, 0, 0] })),
    leftSolid: [],
    lumps: [],
    deepestMm: 10,
    thinnest: null,
    keptMm3: [],
    spacingMm: 0.5,
  };
}

/** A box about the origin whose faces are cut into squares about `step` mm wide, as a hollow's are. */
export function fineBox(size: readonly [number, number, number], step: number): Mesh {
  const counts = size.map((length) => Math.max(1, Math.round(length / step)));
  const positions: number[] = [];
  const triangles: number[] = [];
  const corners = new Map<string, number>();
  const corner = (at: readonly number[]): number => {
    const key = at.join();
    if (!corners.has(key)) {
      const point = at.map((n, axis) => size[axis]! * (n / counts[axis]! - 0.5));
      corners.set(key, positions.push(...point) / 3 - 1);
    }
    return corners.get(key)!;
  };
  for (let axis = 0; axis < 3; axis++) {
    const [u, v] = [(axis + 1) % 3, (axis + 2) % 3];
    for (const side of [0, counts[axis]!]) {
      for (let i = 0; i < counts[u]!; i++) {
        for (let j = 0; j < counts[v]!; j++) {
          const at = (a: number, b: number): number => {
            const place = [0, 0, 0];
            place[axis] = side;
            place[u] = a;
            place[v] = b;
            return corner(place);
          };
          const quad = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
          const [a, b, c, d] = (side > 0 ? quad : quad.reverse()) as [number, number, number, number];
          triangles.push(a, b, c, a, c, d);
        }
      }
    }
  }
  return shapes.meshOf(positions, triangles);
}
