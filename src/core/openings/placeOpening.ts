import { type Interrupter, portion, uninterrupted } from '../interrupter.ts';
import type { Vec3 } from '../vector.ts';
import { closestOnSurface } from './closestOnSurface.ts';
import { measureBore } from './measureBore.ts';
import type { OpenablePart } from './openablePart.ts';
import type { OpeningDecision, OpeningFacts, OpeningKind } from './opening.ts';
import { placeMouth } from './placeMouth.ts';

/** How far from the surface an opening's point may lie, print mm. */
export const SNAP_MM = 2;
/** A passage must lie on the face of its seam, or it would not meet the other half's. */
const ON_SEAM_MM = 0.05;
export const snapMm = (kind: OpeningKind): number => (kind === 'passage' ? ON_SEAM_MM : SNAP_MM);

/**
 * Places one opening on the part and measures it along its axis. The mouth is the surface point
 * nearest to the one decided, within `snapMm`; the axis is `toward`, or else the reversed
 * area-weighted normal over the mouth's disc. What is show side is not known here.
 */
export function placeOpening(
  decision: OpeningDecision,
  part: OpenablePart,
  interrupter: Interrupter = uninterrupted,
): OpeningFacts {
  const asked = part.toPrint(decision.at);
  const onSurface = closestOnSurface(part.outer, asked);
  const { point, facet, distanceMm: surfaceDistanceMm } = onSurface;
  // Written so that a point that is no number lies on no surface.
  if (!(surfaceDistanceMm <= snapMm(decision.kind)))
    return offSurface(decision, asked, surfaceDistanceMm, point);
  const { placed, facing } = placeMouth(decision, onSurface, part, portion(interrupter, 0.1, 0.4));
  return {
    decision,
    placed,
    asked,
    surfaceDistanceMm,
    facing,
    showReachMm: null,
    ...measureBore(placed, part, facet, portion(interrupter, 0.5, 1)),
  };
}

function offSurface(
  decision: OpeningDecision,
  asked: Vec3,
  surfaceDistanceMm: number,
  nearest: Vec3,
): OpeningFacts {
  return {
    decision,
    placed: null,
    asked,
    surfaceDistanceMm,
    ...(Number.isFinite(surfaceDistanceMm) && { nearest }),
    facing: null,
    showReachMm: null,
    chamber: null,
    chamberDepthMm: null,
    farWallDepthMm: null,
    farSideDepthMm: null,
    sideClearanceMm: null,
  };
}
