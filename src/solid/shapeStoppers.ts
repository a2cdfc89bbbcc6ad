import type { ManifoldToplevel } from 'manifold-3d';
import { type Interrupter, portion } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { ShapedStopper } from '../core/openings/standStoppers.ts';
import type { NoStopper, Stopper } from '../core/openings/stopper.ts';
import { stopperBlank } from '../core/openings/stopperBlank.ts';
import { intersectNearby } from './intersectNearby.ts';
import { isClosed } from './isClosed.ts';
import { largestCommonPiece } from './largestCommonPiece.ts';
import { separateVertices } from './separateVertices.ts';

/**
 * Gives stoppers the part's own outside: what each blank has in common with the part as it was before
 * hollow and openings. `outer`: closed, print frame, mm. Only the facets near a bore are looked at;
 * where they are not clean, the whole part is.
 */
export function shapeStoppers(
  kernel: ManifoldToplevel,
  outer: Mesh,
  stoppers: readonly Stopper[],
  interrupter: Interrupter,
): (ShapedStopper | NoStopper)[] {
  const blanks = stoppers.map(stopperBlank);
  const near = intersectNearby(kernel, outer, blanks, portion(interrupter, 0, 0.8));
  return near.map((found, n) => {
    interrupter(0.8 + (0.2 * n) / near.length);
    const stopper = stoppers[n]!;
    const shaped = 'unclean' in found ? largestCommonPiece(kernel, outer, blanks[n]!) : found;
    if ('unclean' in shaped) return { opening: stopper.opening, reason: shaped.unclean };
    const mesh = separateVertices(shaped);
    if (mesh.triangles.length === 0 || !isClosed(mesh)) {
      return { opening: stopper.opening, reason: 'nothing whole is left of it inside the part' };
    }
    return { stopper, mesh };
  });
}
