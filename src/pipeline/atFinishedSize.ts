import { transformMesh } from '../core/affine.ts';
import type { Mesh } from '../core/mesh/mesh.ts';

/** A mesh in source coordinates in source axes at finished size, print mm. */
export function atFinishedSize(mesh: Mesh, factor: number): Mesh {
  if (factor === 1) return mesh;
  return transformMesh(mesh, { linear: [factor, 0, 0, 0, factor, 0, 0, 0, factor], shift: [0, 0, 0] });
}
