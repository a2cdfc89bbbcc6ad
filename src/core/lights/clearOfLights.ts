import { BETWEEN_MM } from '../openings/isApart.ts';
import type { PlacedOpening } from '../openings/opening.ts';
import { add, scale } from '../vector.ts';
import type { LightFacts } from './lightPasses.ts';
import { nearestPiece, pieceBlocks } from './pieceBlocks.ts';

/** A bore as it would be drilled; print frame, mm. */
export type AskedBore = Pick<PlacedOpening, 'mouth' | 'axis' | 'radius' | 'depth'>;

/**
 * Whether a bore keeps off the tubes of a part's lights from its mouth to its end: their lining stays whole, and at
 * least as much solid as between two bores.
 */
export function clearOfLights(
  lights: readonly Pick<LightFacts, 'points' | 'radiusMm' | 'liningMm'>[],
): (bore: AskedBore) => boolean {
  const tubes = lights.map(({ points, radiusMm, liningMm }) => ({
    blocks: pieceBlocks(points.slice(1).map((to, n) => ({ from: points[n]!, to }))),
    keptMm: radiusMm + Math.max(liningMm, BETWEEN_MM),
  }));
  return ({ mouth, axis, radius, depth }) => {
    const bore = { from: mouth, to: add(mouth, scale(axis, depth)) };
    return tubes.every(({ blocks, keptMm }) => {
      const least = radius + keptMm;
      return nearestPiece(bore, blocks, least).apart >= least;
    });
  };
}
