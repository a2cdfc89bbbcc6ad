import { labelShells } from '../core/mesh/labelShells.ts';
import type { Mesh } from '../core/mesh/mesh.ts';

/** The shell with most facets: what room for another part has cut loose is thrown away. */
export function inOnePiece(mesh: Mesh): Mesh {
  const { label, count } = labelShells(mesh);
  const facets = new Uint32Array(count);
  for (const shell of label) facets[shell]!++;
  const largest = facets.indexOf(Math.max(...facets));
  return {
    positions: mesh.positions,
    triangles: mesh.triangles.filter((_, at) => label[Math.floor(at / 3)] === largest),
  };
}
