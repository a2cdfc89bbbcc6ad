import type { ManifoldToplevel } from 'manifold-3d';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type Result, success } from '../core/result.ts';
import { inSolidScope } from './solidScope.ts';

/** Subtracts the cutters from a closed mesh as one solid: right for any mesh, slow for a large one. */
export function cutWhole(kernel: ManifoldToplevel, whole: Mesh, cutters: readonly Mesh[]): Result<Mesh> {
  return inSolidScope(kernel, (scope) => {
    const bores = scope.keep(scope.kernel.Manifold.union(cutters.map((cutter) => scope.solidOf(cutter))));
    return success(scope.meshOf(scope.keep(scope.solidOf(whole).subtract(bores))));
  });
}
