import type { ManifoldToplevel } from 'manifold-3d';
import { joinMeshes } from '../core/mesh/joinMeshes.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { success } from '../core/result.ts';
import type { ClosedPatch, Unclean } from './closedPatch.ts';
import { type SewablePatch, sewablePatch } from './sewablePatch.ts';
import { inSolidScope } from './solidScope.ts';

/**
 * Subtracts the cutters from a closed patch and takes caps and boxes off again. Unclean unless all of
 * those come out as they went in and the border is edge by edge what it was.
 */
export function cutPatch(
  kernel: ManifoldToplevel,
  { mesh, own, vertexOf, border }: ClosedPatch,
  boxes: readonly Mesh[],
  cutters: readonly Mesh[],
): SewablePatch | Unclean {
  const solid = joinMeshes([mesh, ...boxes]);
  if (solid.triangles.length === 0) return { ...solid, vertexOf: new Int32Array(0) };
  const cut = inSolidScope(kernel, (scope) => {
    const bores = scope.keep(scope.kernel.Manifold.union(cutters.map((cutter) => scope.solidOf(cutter))));
    const { solid: body, mark } = scope.markedSolidOf(solid, own);
    return success(scope.unmarkedOf(scope.keep(body.subtract(bores)), [mark]));
  });
  if (!cut.ok) return { unclean: 'the solid kernel could not work on it' };
  if (cut.value.marked !== solid.triangles.length / 3 - own) return { unclean: 'the cut reached its border' };
  return sewablePatch(cut.value.mesh, { positions: mesh.positions, vertexOf, border });
}
