import type { OpeningFacts, PlacedOpening } from '../openings/opening.ts';
import { circularSegment, type Section } from './circularSegment.ts';
import { printedHeight, tilt } from './printedHeight.ts';

/** A placed opening with what the loads need of its facts. Print frame, mm. */
export type LoadOpening = Pick<OpeningFacts, 'chamber' | 'chamberDepthMm'> & {
  readonly placed: PlacedOpening;
};

const mm = 1e-3;

/** Length in m of the bore through the wall; the whole drilled depth where it opens no chamber. */
export function boreLength({ placed, chamberDepthMm }: LoadOpening): number {
  return Math.max(0, chamberDepthMm ?? placed.depth) * mm;
}

/** Height in mm above the plate of the mouth's plate-side edge: printed first, and first to rise out of the vat. */
export function plateSideEdge({ mouth, axis, radius }: PlacedOpening): number {
  return mouth[2] - radius * tilt(axis[2]);
}

/**
 * Narrowest section (SI) of an opening's bore as printed while the film lies at `film` mm: the smaller
 * of the segments at its two ends, mouth and chamber. A bore across the layers is whole or not there.
 */
export function printedSection(opening: LoadOpening, film: number): Section {
  const { mouth, axis, radius } = opening.placed;
  const innerEnd = mouth[2] + (boreLength(opening) / mm) * axis[2];
  const height = printedHeight(film - Math.max(mouth[2], innerEnd), axis[2], radius);
  return circularSegment(radius * mm, height * mm);
}
