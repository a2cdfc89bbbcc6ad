import type { Mesh } from '../core/mesh/mesh.ts';

/** Only the vertices in use, in order of use; `number` is scratch, one entry a vertex. */
export function compacted(
  positions: Float32Array,
  triangles: Uint32Array,
  number: Int32Array = new Int32Array(positions.length / 3),
): Mesh {
  for (const vertex of triangles) number[vertex] = -1;
  const used = new Float32Array(3 * triangles.length);
  const renumbered = new Uint32Array(triangles.length);
  let count = 0;
  for (let at = 0; at < triangles.length; at++) {
    const vertex = triangles[at]!;
    if (number[vertex]! < 0) {
      for (let axis = 0; axis < 3; axis++) used[3 * count + axis] = positions[3 * vertex + axis]!;
      number[vertex] = count++;
    }
    renumbered[at] = number[vertex]!;
  }
  return { positions: used.slice(0, 3 * count), triangles: renumbered };
}
