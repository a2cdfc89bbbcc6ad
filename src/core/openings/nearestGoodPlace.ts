import { type Interrupter, portion } from '../interrupter.ts';
import { type Result, success } from '../result.ts';
import { add, norm, scale, subtract, type Vec3 } from '../vector.ts';
import { basisAcross } from './basisAcross.ts';
import { closestOnSurface } from './closestOnSurface.ts';
import { lineHits } from './lineHits.ts';
import type { OpenablePart } from './openablePart.ts';
import type { OpeningDecision, OpeningFacts, PlacedOpening } from './opening.ts';
import { type OpeningMouth, placeMouth } from './placeMouth.ts';
import { placeOpening, SNAP_MM } from './placeOpening.ts';
import { type SurfacePlace, surfacePlaces } from './surfacePlaces.ts';

/** What makes a place good. */
export interface PlaceTest {
  /** Print frame → the manifest's coordinates, rounded as they will be written. */
  readonly toSource: (at: Vec3) => Vec3;
  /** The chamber that it must open; null for any. */
  readonly chamber: number | null;
  /** Whether the mouth is in nobody's way there. */
  readonly isRoomy: (mouth: OpeningMouth) => boolean;
  /** Whether nothing is wrong with the opening there by itself; asked where its mouth is in nobody's way. */
  readonly isGood: (facts: OpeningFacts) => boolean;
  /** Whether the part is the better for it; asked of few places, since it takes longer. */
  readonly accepts: (decision: OpeningDecision) => Promise<Result<boolean>>;
}

export interface GoodPlace {
  readonly decision: OpeningDecision;
  /** mm in print, in a straight line from where its mouth is now; from the point asked, where that lies off the surface. */
  readonly movedMm: number;
}

/** Looked at ring after ring: what lies within each of these, mm in print, is sorted by its distance. */
const RINGS_MM = [0, 6, 12, 24, 48] as const;
export const FARTHEST_PLACE_MM = RINGS_MM.at(-1)!;
/** Places lie a part of the opening's width apart, and at least this, mm. */
const STEP_SHARE = 1 / 8;
const LEAST_STEP_MM = 1;
/** Places so near to one that was not accepted, in steps, fare no better. */
const LIKE_STEPS = 2;
/** Share of a ring's progress in which its places are gathered. */
const GATHERED = 0.1;
/** Places judged by the check at most. */
const MOST_JUDGED = 40;
/** Halvings of the way to the place found; four leave a sixteenth of a step or less. */
const HALVINGS = 4;

/**
 * The place nearest to where an opening is, or was asked for, that is good, within `FARTHEST_PLACE_MM`. At
 * each place it is tried as it is drilled now, then straight in, as deep as is usual or as the room behind
 * the wall allows. Between two places looked at (an eighth of its width apart, 1 mm at least) a nearer one
 * may be missed. Null when there is none. Deterministic.
 */
export async function nearestGoodPlace(
  decision: OpeningDecision,
  part: OpenablePart,
  test: PlaceTest,
  interrupter: Interrupter,
): Promise<Result<GoodPlace | null>> {
  const asked = part.toPrint(decision.at);
  const from = closestOnSurface(part.outer, asked);
  if (from.facet < 0) return success(null);
  const stepMm = Math.max(LEAST_STEP_MM, STEP_SHARE * decision.diameter);
  const refused: Vec3[] = [];
  for (let ring = 1; ring < RINGS_MM.length; ring++) {
    const reached = portion(interrupter, (ring - 1) / (RINGS_MM.length - 1), ring / (RINGS_MM.length - 1));
    const [nearMm, farMm] = [RINGS_MM[ring - 1]!, RINGS_MM[ring]!];
    const gathering = portion(reached, 0, GATHERED);
    const around = surfacePlaces(part.outer, from.point, nearMm, farMm, stepMm, gathering);
    const places = ring === 1 ? [{ at: from.point, awayMm: 0 }, ...around] : around;
    for (const [n, place] of places.entries()) {
      reached(GATHERED + ((1 - GATHERED) * n) / places.length);
      if (refused.some((at) => norm(subtract(at, place.at)) < LIKE_STEPS * stepMm)) continue;
      const found = wayIn(decision, place.at, part, test);
      if (found === null) continue;
      const accepted = await test.accepts(found);
      if (!accepted.ok) return accepted;
      if (!accepted.value) {
        refused.push(place.at);
        if (refused.length === MOST_JUDGED) return success(null);
        continue;
      }
      const best = await nearer(decision, from.point, { place, found }, part, test);
      if (!best.ok) return best;
      const now = from.distanceMm > SNAP_MM ? asked : from.point;
      return success({ decision: best.value.found, movedMm: norm(subtract(best.value.place.at, now)) });
    }
  }
  return success(null);
}

interface Found {
  readonly place: SurfacePlace;
  readonly found: OpeningDecision;
}

/** Halves the way back from the place found as long as what lies there is good too. */
async function nearer(
  decision: OpeningDecision,
  from: Vec3,
  start: Found,
  part: OpenablePart,
  test: PlaceTest,
): Promise<Result<Found>> {
  let [low, high] = [0, 1];
  let best = start;
  for (let halving = 0; halving < HALVINGS; halving++) {
    const share = (low + high) / 2;
    const way = subtract(start.place.at, from);
    const at = closestOnSurface(part.outer, add(from, scale(way, share))).point;
    const awayMm = norm(subtract(at, from));
    const found = awayMm < best.place.awayMm ? wayIn(decision, at, part, test) : null;
    const accepted = found === null ? success(false) : await test.accepts(found);
    if (!accepted.ok) return accepted;
    if (found !== null && accepted.value) {
      best = { place: { at, awayMm }, found };
      high = share;
    } else low = share;
  }
  return success(best);
}

/** The opening at a place, in the first way that is good there; null when none is. */
function wayIn(
  decision: OpeningDecision,
  at: Vec3,
  part: OpenablePart,
  { toSource, chamber, isRoomy, isGood }: PlaceTest,
): OpeningDecision | null {
  const { id, kind, diameter } = decision;
  const there = toSource(at);
  const onSurface = closestOnSurface(part.outer, part.toPrint(there));
  let straightFacts: OpeningFacts | null = null;
  for (const way of [decision, { id, kind, diameter }]) {
    const tried = { ...way, at: there };
    const mouth = placeMouth(tried, onSurface, part);
    if (!isRoomy(mouth)) return null;
    // A tube may end in solid.
    if (kind !== 'tube' && isHopeless(mouth.placed, part, chamber)) continue;
    const facts = placeOpening(tried, part);
    if (isGood(facts)) return tried;
    straightFacts = facts;
    if (decision.depth === undefined && decision.toward === undefined) break;
  }
  const depth = straightFacts && halfThrough(straightFacts);
  if (depth === null) return null;
  const shallow = { id, kind, diameter, at: there, depth };
  return isGood(placeOpening(shallow, part)) ? shallow : null;
}

/** Lines along the bore, a little inside its rim. */
const RIM_LINES = 8;
const RIM_SHARE = 0.9;

/**
 * Whether a few lines tell that the bore is no good: its axis meets no chamber, or another one than asked for, or
 * a part of it meets none over the depth at which its clearance is measured, so that a side wall stands in it.
 * Measuring how near that stands takes far longer.
 */
function isHopeless(
  { mouth, axis, radius, depth }: PlacedOpening,
  { cavity, facetChamber }: OpenablePart,
  chamber: number | null,
): boolean {
  if (cavity === null || facetChamber === null) return false;
  const entry = lineHits(cavity, mouth, axis, 0, Infinity).find((hit) => hit.entering);
  if (entry === undefined || (chamber !== null && facetChamber[entry.facet] !== chamber)) return true;
  const to = Math.max(depth, entry.at + 2 * radius);
  const [u, v] = basisAcross(axis);
  for (let n = 0; n < RIM_LINES; n++) {
    const turn = (2 * Math.PI * n) / RIM_LINES;
    const [across, up] = [RIM_SHARE * radius * Math.cos(turn), RIM_SHARE * radius * Math.sin(turn)];
    const beside = add(mouth, add(scale(u, across), scale(v, up)));
    if (!lineHits(cavity, beside, axis, -radius, to).some((hit) => hit.entering)) return true;
  }
  return false;
}

/** A depth that ends in the middle of a chamber that the usual one does not suit; null where there is none. */
function halfThrough({ placed, chamberDepthMm, farWallDepthMm }: OpeningFacts): number | null {
  if (placed === null || chamberDepthMm === null || farWallDepthMm === null) return null;
  return isBetween(placed, chamberDepthMm, farWallDepthMm)
    ? null
    : Math.floor(5 * (chamberDepthMm + farWallDepthMm)) / 10;
}

const isBetween = ({ depth }: PlacedOpening, start: number, end: number): boolean =>
  depth > start && depth <= end;
