import type { ManifoldToplevel } from 'manifold-3d';
import { type Interrupter, portion } from '../core/interrupter.ts';
import { joinMeshes } from '../core/mesh/joinMeshes.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { capLoop } from './capLoop.ts';
import { closedPatch, type Unclean } from './closedPatch.ts';
import { type ConvexBody, convexBody } from './convexBody.ts';
import { largestCommonPiece } from './largestCommonPiece.ts';
import { missingBoxes } from './missingBoxes.ts';
import { meetingBoxes, type Patch, patchesAround } from './patchesAround.ts';
import { windingsAt } from './windingsAt.ts';

/** Facets that come this near to a body are closed to a solid with it, mm; each is tried when the one before was not clean. */
const marginsMm = [0.1, 0.5, 2];

/**
 * What a closed mesh has in common with each of some convex bodies, the largest piece of it, by solids
 * of their neighbourhoods alone. Unclean where a neighbourhood cannot be closed away from its body.
 * Why that is exact: see `cutNearby`.
 */
export function intersectNearby(
  kernel: ManifoldToplevel,
  whole: Mesh,
  blanks: readonly Mesh[],
  interrupter: Interrupter,
): (Mesh | Unclean)[] {
  const bodies = blanks.map(convexBody);
  const found = bodies.map((body): Mesh | Unclean => ({
    unclean: body === null ? 'it is not convex' : 'nothing was tried',
  }));
  let left = bodies.flatMap((body, n) => (body === null ? [] : [{ n, body, blank: blanks[n]! }]));
  const windings = windingsAt(
    whole,
    left.map(({ body }) => body.middle),
    portion(interrupter, 0, 0.2),
  );
  const windingOf = new Map(left.map(({ n }, at) => [n, windings[at]!]));
  const vertexScratch = new Int32Array(whole.positions.length / 3).fill(-1);
  for (const [round, margin] of marginsMm.entries()) {
    if (left.length === 0) break;
    const share = portion(interrupter, 0.2 + 0.2 * round, 0.4 + 0.2 * round);
    const near = left.map(({ body }) => body);
    for (const patch of patchesAround(whole, near, margin, meetingBoxes(near, margin), share)) {
      share(1);
      const members = patch.bodies.map((at) => ({ ...left[at]!, winding: windingOf.get(left[at]!.n)! }));
      const solid = solidAround(whole, patch, members, margin, vertexScratch);
      for (const { n, blank } of members) {
        found[n] = 'unclean' in solid ? solid : largestCommonPiece(kernel, solid, blank);
      }
    }
    left = left.filter(({ n }) => 'unclean' in found[n]!);
  }
  return found;
}

function solidAround(
  whole: Mesh,
  { facets }: Patch,
  members: readonly { readonly body: ConvexBody; readonly winding: number }[],
  margin: number,
  vertexScratch: Int32Array,
): Mesh | Unclean {
  const bodies = members.map(({ body }) => body);
  // Caps may come nearer than the border that they begin at.
  const capOf = (loop: Float32Array) => capLoop(loop, bodies, margin / 2);
  const closed = closedPatch(whole, facets, capOf, vertexScratch);
  if ('unclean' in closed) return closed;
  const boxes = missingBoxes(
    closed.mesh,
    bodies,
    members.map(({ winding }) => winding),
  );
  return 'unclean' in boxes ? boxes : joinMeshes([closed.mesh, ...boxes]);
}
