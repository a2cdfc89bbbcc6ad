import type { ManifoldToplevel } from 'manifold-3d';
import type { Mesh } from '../core/mesh/mesh.ts';
import { success } from '../core/result.ts';
import type { Unclean } from './closedPatch.ts';
import { inSolidScope } from './solidScope.ts';

/** What two closed meshes have in common, its largest piece by volume; an empty mesh where they have nothing. */
export function largestCommonPiece(kernel: ManifoldToplevel, solid: Mesh, body: Mesh): Mesh | Unclean {
  if (solid.triangles.length === 0) return solid;
  const common = inSolidScope(kernel, (scope) => {
    const shared = scope.keep(scope.solidOf(body).intersect(scope.solidOf(solid)));
    const pieces = shared.decompose().map((piece) => ({ piece: scope.keep(piece), volume: piece.volume() }));
    if (pieces.length === 0) return success(scope.meshOf(shared));
    return success(scope.meshOf(pieces.reduce((a, b) => (b.volume > a.volume ? b : a)).piece));
  });
  return common.ok ? common.value : { unclean: 'the solid kernel could not work on it' };
}
