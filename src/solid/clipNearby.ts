import type { ManifoldToplevel } from 'manifold-3d';
import { type Interrupter, portion } from '../core/interrupter.ts';
import { joinMeshes } from '../core/mesh/joinMeshes.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { success } from '../core/result.ts';
import { capLoop } from './capLoop.ts';
import { type ClosedPatch, closedPatch, type Unclean } from './closedPatch.ts';
import { type ConvexBody, convexBody } from './convexBody.ts';
import { missingBoxes } from './missingBoxes.ts';
import { patchesAround } from './patchesAround.ts';
import { inSolidScope } from './solidScope.ts';
import { windingsAt } from './windingsAt.ts';

/** Facets that come this near to the body are closed to a solid with it, mm; each is tried when the one before was not clean. */
const marginsMm = [0.1, 0.5, 2];

/**
 * What a closed mesh has in common with a convex body, all of its pieces, by a solid of the facets near
 * it alone. Unclean where those cannot be closed away from the body. Why that is exact: see `cutNearby`.
 */
export function clipNearby(
  kernel: ManifoldToplevel,
  whole: Mesh,
  blank: Mesh,
  interrupter: Interrupter,
): Mesh | Unclean {
  const body = convexBody(blank);
  if (body === null) return { unclean: 'it is not convex' };
  const [winding] = windingsAt(whole, [body.middle], portion(interrupter, 0, 0.2));
  const scratch = new Int32Array(whole.positions.length / 3).fill(-1);
  let solid: Mesh | Unclean = { unclean: 'nothing was tried' };
  for (const [n, margin] of marginsMm.entries()) {
    const share = portion(interrupter, 0.2 + 0.25 * n, 0.45 + 0.25 * n);
    const [patch] = patchesAround(whole, [body], margin, [], share);
    const capOf = (loop: Float32Array) => capLoop(loop, [body], margin / 2);
    solid = solidOf(closedPatch(whole, patch!.facets, capOf, scratch), body, winding!);
    if ('unclean' in solid) continue;
    const clipped = clipWhole(kernel, solid, blank);
    if (!('unclean' in clipped)) return clipped;
    solid = clipped;
  }
  return solid;
}

/** With the winding number about the body that the whole has there. */
function solidOf(closed: ClosedPatch | Unclean, body: ConvexBody, winding: number): Mesh | Unclean {
  if ('unclean' in closed) return closed;
  const boxes = missingBoxes(closed.mesh, [body], [winding]);
  return 'unclean' in boxes ? boxes : joinMeshes([closed.mesh, ...boxes]);
}

/** The same by a boolean with all of the mesh. */
export function clipWhole(kernel: ManifoldToplevel, whole: Mesh, blank: Mesh): Mesh | Unclean {
  if (whole.triangles.length === 0) return whole;
  const common = inSolidScope(kernel, (scope) =>
    success(scope.meshOf(scope.keep(scope.solidOf(whole).intersect(scope.solidOf(blank))))),
  );
  return common.ok ? common.value : { unclean: 'the solid kernel could not work on it' };
}
