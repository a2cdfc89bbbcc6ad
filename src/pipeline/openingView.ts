import type { OpeningFacts } from '../core/openings/opening.ts';
import type { OpeningView } from '../protocol/partView.ts';

/** An opening as the turntable draws it; null when it is not cut. */
export function openingView({ placed, chamberDepthMm }: OpeningFacts): OpeningView | null {
  if (placed === null) return null;
  return { ...placed, boreMm: Math.min(chamberDepthMm ?? placed.depth, placed.depth) };
}
