import { type Interrupter, uninterrupted } from '../interrupter.ts';
import { dot, norm, normalized, scale, type Vec3 } from '../vector.ts';
import { connectedFacets, facetNormal, meanNormal, normalOf, viewBore } from './boreView.ts';
import type { OnSurface } from './closestOnSurface.ts';
import type { OpenablePart } from './openablePart.ts';
import type { OpeningDecision, PlacedOpening } from './opening.ts';
import type { SurfaceIndex } from './surfaceIndex.ts';

/** How much deeper than the wall an opening goes by default; common practice, no source. */
export const BEYOND_WALL_MM = 2.5;
/** An axis leaning farther is drilled by default as if it leaned by 75°; engineering choice. */
const LEAST_COSINE = Math.cos((75 * Math.PI) / 180);
/** Default depth in a solid part: what a wall of 1.5 mm would give. */
export const SOLID_DEPTH_MM = 4;
/** The cutter stands clear of the surface by this, and keeps this away from a second one. */
const CLEAR_MM = 0.05;

/** An opening placed on the surface; what its bore meets is not looked at. Print frame. */
export interface OpeningMouth {
  readonly placed: PlacedOpening;
  /** Unit mean normal of the surface over the mouth, outward. */
  readonly facing: Vec3;
}

/**
 * Puts an opening's mouth at a point of the outer surface: the axis is `toward`, or else the reversed
 * area-weighted normal over the mouth's disc; the depth is that decided, or else the usual one.
 */
export function placeMouth(
  decision: OpeningDecision,
  { point: mouth, facet }: OnSurface,
  part: OpenablePart,
  interrupter: Interrupter = uninterrupted,
): OpeningMouth {
  const radius = decision.diameter / 2;
  interrupter(0);
  const inward = mouthAxis(part.outer, mouth, facet, radius);
  const axis = chosenAxis(decision, part) ?? inward;
  const depth = decision.depth ?? defaultDepth(axis, inward, part);
  const outward = outwardReach(part.outer, mouth, axis, facet, radius);
  interrupter(1);
  const { id, kind } = decision;
  return { placed: { id, kind, mouth, axis, radius, depth, outward }, facing: scale(inward, -1) };
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
