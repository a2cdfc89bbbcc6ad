import type { Interrupter } from '../interrupter.ts';
import { add, dot, scale, type Vec3 } from '../vector.ts';
import { basisAcross } from './basisAcross.ts';
import { connectedFacets, facetNormal, leastClearance, meanNormal, viewBore } from './boreView.ts';
import { type LineHit, lineHits } from './lineHits.ts';
import type { OpenablePart } from './openablePart.ts';
import type { OpeningFacts, PlacedOpening } from './opening.ts';
import type { SurfaceIndex } from './surfaceIndex.ts';

type BoreFacts = Pick<
  OpeningFacts,
  'chamber' | 'chamberDepthMm' | 'farWallDepthMm' | 'farSideDepthMm' | 'sideClearanceMm'
>;

/** The mouth itself is met within this of depth 0. */
const AT_MOUTH_MM = 1e-3;
/** Lines along the bore that tell what its rim meets, a little inside it: a mere graze opens nothing. */
const RIM_SAMPLES = 16;
const RIM_SHARE = 0.9;
/** Cavity facets within 50° of where the axis enters belong to the surface that is cut. */
const CUT_COSINE = Math.cos((50 * Math.PI) / 180);
/** Side walls farther off than this are not looked for, mm. */
const FARTHEST_SIDE_MM = 64;

/** What a placed opening meets along its axis, or its rim where only that reaches a chamber: the chamber, its far wall, the far side. */
export function measureBore(
  opening: PlacedOpening,
  part: OpenablePart,
  mouthFacet: number,
  interrupter: Interrupter,
): BoreFacts {
  const { mouth, axis, depth } = opening;
  const nothing = { chamber: null, chamberDepthMm: null, farWallDepthMm: null, sideClearanceMm: null };
  const normal = facetNormal(part.outer.mesh, mouthFacet);
  if (normal && dot(normal, axis) >= 0) return { ...nothing, farSideDepthMm: 0 };
  const leaving = lineHits(part.outer, mouth, axis, AT_MOUTH_MM, Infinity).find((hit) => !hit.entering);
  const farSideDepthMm = leaving?.at ?? null;
  const { cavity, facetChamber } = part;
  if (!cavity || !facetChamber) return { ...nothing, farSideDepthMm };
  const hits = lineHits(cavity, mouth, axis, 0, farSideDepthMm ?? Infinity);
  const entry = hits.find((hit) => hit.entering);
  if (!entry || entry.at >= depth) {
    const beside = enteredByRim(opening, cavity, farSideDepthMm ?? Infinity);
    if (beside) return { ...besideFacts(beside, facetChamber[beside.entry.facet]!), farSideDepthMm };
  }
  if (!entry) return { ...nothing, farSideDepthMm };
  const exit = hits.find((hit) => !hit.entering && hit.at > entry.at);
  return {
    chamber: depth > entry.at ? facetChamber[entry.facet]! : null,
    chamberDepthMm: entry.at,
    farWallDepthMm: exit?.at ?? null,
    farSideDepthMm,
    sideClearanceMm: sideClearance(opening, cavity, entry, exit ?? null, interrupter),
  };
}

interface RimEntry {
  readonly entry: LineHit;
  readonly exit: LineHit | null;
}

/** Where the bore's rim first enters a chamber within its depth, for a bore whose axis does not; null when nowhere. */
function enteredByRim(
  { mouth, axis, radius, depth }: PlacedOpening,
  cavity: SurfaceIndex,
  farSideDepthMm: number,
): RimEntry | null {
  const [u, v] = basisAcross(axis);
  let first: RimEntry | null = null;
  for (let n = 0; n < RIM_SAMPLES; n++) {
    const turn = (2 * Math.PI * n) / RIM_SAMPLES;
    const across = add(
      scale(u, RIM_SHARE * radius * Math.cos(turn)),
      scale(v, RIM_SHARE * radius * Math.sin(turn)),
    );
    const hits = lineHits(cavity, add(mouth, across), axis, 0, farSideDepthMm);
    const entry = hits.find((hit) => hit.entering);
    if (!entry || entry.at >= depth || (first && entry.at >= first.entry.at)) continue;
    first = { entry, exit: hits.find((hit) => !hit.entering && hit.at > entry.at) ?? null };
  }
  return first;
}

/** The axis runs outside the chamber, so nothing is left between it and the side wall. */
function besideFacts({ entry, exit }: RimEntry, chamber: number): Omit<BoreFacts, 'farSideDepthMm'> {
  return { chamber, chamberDepthMm: entry.at, farWallDepthMm: exit?.at ?? null, sideClearanceMm: 0 };
}

/**
 * Distance from the axis to the nearest side wall of the chamber, over the depth the cutter goes
 * (two radii into the chamber at least). The surface round the entry that faces as it does is cut
 * away or level with the cut, and the far wall is no side wall: both are left out.
 */
function sideClearance(
  opening: PlacedOpening,
  cavity: SurfaceIndex,
  entry: LineHit,
  exit: LineHit | null,
  interrupter: Interrupter,
): number {
  const { mouth, axis, radius, depth } = opening;
  const to = Math.min(Math.max(depth, entry.at + 2 * radius), exit?.at ?? Infinity);
  const ceiling = facingAround(cavity, add(mouth, scale(axis, entry.at)), axis, entry.facet, radius);
  const floor = exit && facingAround(cavity, add(mouth, scale(axis, exit.at)), axis, exit.facet, radius);
  for (let reach = 2 * radius; reach < FARTHEST_SIDE_MM; reach *= 2) {
    // Seen somewhat beyond both ends, so that the surfaces left out hang together.
    const fraction = reach / FARTHEST_SIDE_MM;
    interrupter(fraction);
    const view = viewBore(cavity, mouth, axis, reach, entry.at - reach, to + reach);
    interrupter(fraction);
    const left = connectedFacets(view, entry.facet, ceiling, CUT_COSINE);
    if (exit && floor) markToo(left, connectedFacets(view, exit.facet, floor, CUT_COSINE));
    interrupter(fraction);
    const clearance = leastClearance(view, left, entry.at, to);
    if (clearance <= reach) return clearance;
  }
  return FARTHEST_SIDE_MM;
}

function markToo(marks: Uint8Array, more: Uint8Array): void {
  for (let entry = 0; entry < marks.length; entry++) if (more[entry] === 1) marks[entry] = 1;
}

/** Mean normal of the surface round a point on it, facing as the facet there does. */
function facingAround(index: SurfaceIndex, point: Vec3, axis: Vec3, facet: number, radius: number): Vec3 {
  const facing = facetNormal(index.mesh, facet) ?? scale(axis, -1);
  const view = viewBore(index, point, axis, radius, -radius, radius);
  return meanNormal(view, connectedFacets(view, facet, facing, CUT_COSINE)) ?? facing;
}
