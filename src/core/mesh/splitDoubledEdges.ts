import { edgesOf } from './edgesOf.ts';
import type { Mesh } from './mesh.ts';
import { nextHalfEdge } from './sortEdges.ts';

/**
 * Where a surface touches itself so that two of its edges join the same two vertices, all but one get a
 * vertex of their own in the middle and their two facets are halved; the shape stays as it is. A facet
 * is halved once a call. The same mesh object comes back when there is no such edge.
 */
export function splitDoubledEdges(
  mesh: Mesh,
  twin: Int32Array,
): { readonly mesh: Mesh; readonly split: number } {
  const { triangles } = mesh;
  const { order, start, groups } = edgesOf(mesh);
  const halved = new Uint8Array(triangles.length / 3);
  const chosen: number[] = [];
  for (let g = 0; g < groups; g++) {
    if (start[g + 1]! - start[g]! <= 2) continue;
    let pairs = 0;
    for (let i = start[g]!; i < start[g + 1]!; i++) {
      const h = order[i]!;
      const other = twin[h]!;
      if (other < h || pairs++ === 0) continue;
      const facet = (h / 3) | 0;
      const neighbour = (other / 3) | 0;
      if (halved[facet] !== 0 || halved[neighbour] !== 0) continue;
      halved[facet] = 1;
      halved[neighbour] = 1;
      chosen.push(h);
    }
  }
  return chosen.length === 0
    ? { mesh, split: 0 }
    : { mesh: withHalves(mesh, twin, chosen), split: chosen.length };
}

function withHalves(mesh: Mesh, twin: Int32Array, chosen: readonly number[]): Mesh {
  const vertices = mesh.positions.length / 3;
  const positions = new Float32Array(mesh.positions.length + 3 * chosen.length);
  positions.set(mesh.positions);
  const triangles = new Uint32Array(mesh.triangles.length + 6 * chosen.length);
  triangles.set(mesh.triangles);
  let added = mesh.triangles.length;
  chosen.forEach((h, i) => {
    const middle = vertices + i;
    const a = mesh.triangles[h]!;
    const b = mesh.triangles[nextHalfEdge(h)]!;
    for (let axis = 0; axis < 3; axis++) {
      positions[3 * middle + axis] = (mesh.positions[3 * a + axis]! + mesh.positions[3 * b + axis]!) / 2;
    }
    for (const half of [h, twin[h]!]) {
      const end = nextHalfEdge(half);
      triangles.set([middle, mesh.triangles[end]!, mesh.triangles[nextHalfEdge(end)]!], added);
      triangles[end] = middle;
      added += 3;
    }
  });
  return { positions, triangles };
}
