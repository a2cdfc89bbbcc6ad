import { applyAffine } from '../core/affine.ts';
import type { Interrupter } from '../core/interrupter.ts';
import type { OpenablePart } from '../core/openings/openablePart.ts';
import type { OpeningFacts } from '../core/openings/opening.ts';
import { placeOpening } from '../core/openings/placeOpening.ts';
import { buildSurfaceIndex } from '../core/openings/surfaceIndex.ts';
import { scale } from '../core/vector.ts';
import type { PosedPart } from './posedPart.ts';

/** Places and measures every opening of a posed part; the surfaces are indexed only when there is one. */
export function placeOpenings(part: PosedPart, interrupter: Interrupter): OpeningFacts[] {
  const { openings } = part.request;
  if (openings.length === 0) return [];
  const openable = openablePart(part, interrupter);
  return openings.map((opening) => placeOpening(opening, openable));
}

function openablePart(
  { request, outer, cavity, posedCavity, frame }: PosedPart,
  interrupter: Interrupter,
): OpenablePart {
  const hollowed = cavity !== null && posedCavity !== null && cavity.chambers.length > 0;
  const outerIndex = buildSurfaceIndex(outer);
  interrupter(0.5);
  return {
    outer: outerIndex,
    cavity: hollowed ? buildSurfaceIndex(posedCavity) : null,
    facetChamber: hollowed ? cavity.facetChamber : null,
    wallMm: request.wall,
    toPrint: (point) => applyAffine(frame, point),
    directionToPrint: (direction) =>
      applyAffine({ linear: frame.linear, shift: [0, 0, 0] }, scale(direction, 1 / request.factor)),
  };
}
