import { type Interrupter, portion, uninterrupted } from '../interrupter.ts';
import { dot, norm, normalized, scale, type Vec3 } from '../vector.ts';
import { connectedFacets, facetNormal, meanNormal, normalOf, viewBore } from './boreView.ts';
import { closestOnSurface } from './closestOnSurface.ts';
import { measureBore } from './measureBore.ts';
import type { OpenablePart } from './openablePart.ts';
import type { OpeningDecision, OpeningFacts, PlacedOpening } from './opening.ts';
import type { SurfaceIndex } from './surfaceIndex.ts';

/** How far from the surface an opening's point may lie, print mm. */
export const SNAP_MM = 2;
/** How much deeper than the wall an opening goes by default; common practice, no source. */
export const BEYOND_WALL_MM = 2.5;
/** An axis leaning farther is drilled by default as if it leaned by 75°; engineering choice. */
const LEAST_COSINE = Math.cos((75 * Math.PI) / 180);
/** Default depth in a solid part: what a wall of 1.5 mm would give. */
export const SOLID_DEPTH_MM = 4;
/** The cutter stands clear of the surface by this, and keeps this away from a second one. */
const CLEAR_MM = 0.05;

/**
 * Places one opening on the part and measures it along its axis. The mouth is the surface point
 * nearest to the one decided, within `SNAP_MM`; the axis is `toward`, or else the reversed
 * area-weighted normal over the mouth's disc. What is show side is not known here.
 */
export function placeOpening(
  decision: OpeningDecision,
  part: OpenablePart,
  interrupter: Interrupter = uninterrupted,
): OpeningFacts {
  const asked = part.toPrint(decision.at);
  const { point: mouth, facet, distanceMm: surfaceDistanceMm } = closestOnSurface(part.outer, asked);
  // Written so that a point that is no number lies on no surface.
  if (!(surfaceDistanceMm <= SNAP_MM)) return offSurface(decision, asked, surfaceDistanceMm, mouth);
  const radius = decision.diameter / 2;
  interrupter(0.1);
  const inward = mouthAxis(part.outer, mouth, facet, radius);
  const axis = chosenAxis(decision, part) ?? inward;
  const depth = decision.depth ?? defaultDepth(axis, inward, part);
  const outward = outwardReach(part.outer, mouth, axis, facet, radius);
  interrupter(0.4);
  const placed: PlacedOpening = { id: decision.id, kind: decision.kind, mouth, axis, radius, depth, outward };
  return {
    decision,
    placed,
    asked,
    surfaceDistanceMm,
    facing: scale(inward, -1),
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

/** The way through the wall grows as the axis leans from the inward normal; beyond 75° the rest is left to `depth`. */
function defaultDepth(axis: Vec3, inward: Vec3, { wallMm }: OpenablePart): number {
  if (wallMm === null) return SOLID_DEPTH_MM;
  const cosine = axis === inward ? 1 : Math.min(1, Math.max(LEAST_COSINE, dot(axis, inward)));
  return wallMm / cosine + BEYOND_WALL_MM;
}

function chosenAxis({ toward }: OpeningDecision, part: OpenablePart): Vec3 | null {
  if (!toward) return null;
  const direction = part.directionToPrint(toward);
  return norm(direction) > 0 ? normalized(direction) : null;
}

/** Facets within 60° of the mouth's normal face the same way. */
const SAME_WAY = 0.5;
/** Turns of the disc until it lies square to its own mean normal. */
const TURNS = 3;

/** The reversed mean normal over the mouth's disc, of the surface that hangs together there and faces the same way. */
function mouthAxis(outer: SurfaceIndex, mouth: Vec3, facet: number, radius: number): Vec3 {
  let facing: Vec3 = facetNormal(outer.mesh, facet) ?? [0, 0, 1];
  for (let turn = 0; turn < TURNS; turn++) {
    const view = viewBore(outer, mouth, scale(facing, -1), radius, -radius, radius);
    const mean = meanNormal(view, connectedFacets(view, facet, facing, SAME_WAY));
    if (mean === null) break;
    facing = mean;
  }
  return scale(facing, -1);
}

/** How far the cutter must reach out of the mouth to clear the surface round it, short of any other surface. */
function outwardReach(outer: SurfaceIndex, mouth: Vec3, axis: Vec3, facet: number, radius: number): number {
  const facing = scale(axis, -1);
  const view = viewBore(outer, mouth, axis, radius, -4 * radius, radius);
  const patch = connectedFacets(view, facet, facing, SAME_WAY);
  let sagitta = 0;
  let second = Infinity;
  for (let entry = 0; entry < view.count; entry++) {
    if (patch[entry] === 1) sagitta = Math.max(sagitta, -view.nearest[entry]!);
    else if (view.farthest[entry]! < 0 && dot(normalOf(view, entry), facing) < 0) {
      second = Math.min(second, -view.farthest[entry]!);
    }
  }
  return Math.max(0, Math.min(sagitta + CLEAR_MM, second - CLEAR_MM));
}
