import type { Mesh } from './mesh.ts';
import { type EdgeGroups, sortEdges } from './sortEdges.ts';

/** Meshes are never changed, so their edges are sorted once; kept as long as the mesh is. */
const sorted = new WeakMap<Mesh, EdgeGroups>();

/** All edges of a mesh, for the several stages that look at a mesh which is not closed. */
export function edgesOf(mesh: Mesh): EdgeGroups {
  const known = sorted.get(mesh);
  if (known !== undefined) return known;
  const edges = sortEdges(mesh, null);
  sorted.set(mesh, edges);
  return edges;
}
