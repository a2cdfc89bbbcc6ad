import { findRoot, joinSets, singletons } from '../unionFind.ts';
import { noTwin } from './matchHalfEdges.ts';
import type { Mesh } from './mesh.ts';
import { nextHalfEdge } from './sortEdges.ts';

/**
 * Gives every fan of facets its own vertex: corners stay one vertex only when twins join them around
 * it. Surfaces that touch in a corner or along an edge come apart at the same place. Unused vertices
 * are left out. The same mesh object comes back when there is nothing to split or leave out.
 */
export function splitVertices(mesh: Mesh, twin: Int32Array): { readonly mesh: Mesh; readonly split: number } {
  const { positions, triangles } = mesh;
  const vertices = positions.length / 3;
  const parent = singletons(triangles.length);
  for (let h = 0; h < triangles.length; h++) {
    if (twin[h] !== noTwin) joinSets(parent, h, nextHalfEdge(twin[h]!));
  }
  const uses = new Uint32Array(vertices);
  let fans = 0;
  for (let corner = 0; corner < triangles.length; corner++) {
    if (findRoot(parent, corner) !== corner) continue;
    uses[triangles[corner]!]!++;
    fans++;
  }
  let used = 0;
  for (const count of uses) if (count > 0) used++;
  if (fans === used && used === vertices) return { mesh, split: 0 };
  return { mesh: renumbered(mesh, parent, uses, fans), split: fans - used };
}

/** First fans keep their vertex's place in the order, further ones go to the end. */
function renumbered(
  { positions, triangles }: Mesh,
  parent: Uint32Array,
  uses: Uint32Array,
  fans: number,
): Mesh {
  const number = new Int32Array(uses.length).fill(-1);
  let used = 0;
  for (let v = 0; v < uses.length; v++) if (uses[v]! > 0) number[v] = used++;
  const placed = new Float32Array(3 * fans);
  const fanNumber = new Uint32Array(triangles.length);
  const taken = new Uint8Array(uses.length);
  const out = new Uint32Array(triangles.length);
  for (let corner = 0; corner < triangles.length; corner++) {
    const root = findRoot(parent, corner);
    if (root === corner) {
      const v = triangles[corner]!;
      fanNumber[corner] = taken[v] === 0 ? number[v]! : used++;
      taken[v] = 1;
      placed.set(positions.subarray(3 * v, 3 * v + 3), 3 * fanNumber[corner]!);
    }
    out[corner] = fanNumber[root]!;
  }
  return { positions: placed, triangles: out };
}
