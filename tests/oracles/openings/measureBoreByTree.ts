import type { FacetTree } from '../../../src/core/field/facetTree.ts';
import { basisAcross } from '../../../src/core/openings/basisAcross.ts';
import type { OpeningFacts, PlacedOpening } from '../../../src/core/openings/opening.ts';
import { add, dot, norm, normalized, scale, type Vec3 } from '../../../src/core/vector.ts';
import {
  betweenDepths,
  connectedFacets,
  facetNormal,
  facetsInBore,
  polygonArea,
  polygonClearance,
} from './boreViewByTree.ts';
import { type LineHit, lineHits } from './lineHitsByTree.ts';
import type { PartByTree } from './partByTree.ts';

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

/** What a placed opening meets along its axis, or its rim where only that reaches a chamber: the chamber, its far wall, the far side; `mouthFacet` is packed. */
export function measureBoreByTree(opening: PlacedOpening, part: PartByTree, mouthFacet: number): BoreFacts {
  const { mouth, axis, depth } = opening;
  const nothing = { chamber: null, chamberDepthMm: null, farWallDepthMm: null, sideClearanceMm: null };
  const normal = facetNormal(part.outer, mouthFacet);
  if (normal && dot(normal, axis) >= 0) return { ...nothing, farSideDepthMm: 0 };
  const leaving = lineHits(part.outer, mouth, axis, AT_MOUTH_MM, Infinity).find((hit) => !hit.entering);
  const farSideDepthMm = leaving?.at ?? null;
  const { cavity, facetChamber } = part;
  if (!cavity || !facetChamber) return { ...nothing, farSideDepthMm };
  const hits = lineHits(cavity, mouth, axis, 0, farSideDepthMm ?? Infinity);
  const entry = hits.find((hit) => hit.entering);
  if (!entry || entry.at >= depth) {
    const beside = enteredByRim(opening, cavity, farSideDepthMm ?? Infinity);
    if (beside)
      return { ...besideFacts(beside, facetChamber[cavity.facet[beside.entry.packed]!]!), farSideDepthMm };
  }
  if (!entry) return { ...nothing, farSideDepthMm };
  const exit = hits.find((hit) => !hit.entering && hit.at > entry.at);
  return {
    chamber: depth > entry.at ? facetChamber[cavity.facet[entry.packed]!]! : null,
    chamberDepthMm: entry.at,
    farWallDepthMm: exit?.at ?? null,
    farSideDepthMm,
    sideClearanceMm: sideClearance(opening, cavity, entry, exit ?? null),
  };
}

interface RimEntry {
  readonly entry: LineHit;
  readonly exit: LineHit | null;
}

/** Where the bore's rim first enters a chamber within its depth, for a bore whose axis does not; null when nowhere. */
function enteredByRim(
  { mouth, axis, radius, depth }: PlacedOpening,
  cavity: FacetTree,
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
  cavity: FacetTree,
  entry: LineHit,
  exit: LineHit | null,
): number {
  const { mouth, axis, radius, depth } = opening;
  const to = Math.min(Math.max(depth, entry.at + 2 * radius), exit?.at ?? Infinity);
  const ceiling = meanNormal(cavity, add(mouth, scale(axis, entry.at)), axis, entry.packed, radius);
  for (let reach = 2 * radius; reach < FARTHEST_SIDE_MM; reach *= 2) {
    // Seen somewhat beyond both ends, so that the surfaces left out hang together.
    const facets = facetsInBore(cavity, mouth, axis, reach, entry.at - reach, to + reach);
    const left = connectedFacets(cavity, facets, entry.packed, ceiling, CUT_COSINE);
    if (exit) {
      const floor = meanNormal(cavity, add(mouth, scale(axis, exit.at)), axis, exit.packed, radius);
      for (const packed of connectedFacets(cavity, facets, exit.packed, floor, CUT_COSINE)) left.add(packed);
    }
    let clearance = Infinity;
    for (const facet of facets) {
      if (left.has(facet.packed)) continue;
      const side = betweenDepths(facet.polygon, entry.at, to);
      if (side.length >= 3) clearance = Math.min(clearance, polygonClearance(side));
    }
    if (clearance <= reach) return clearance;
  }
  return FARTHEST_SIDE_MM;
}

/** Mean normal of the surface round a point on it, facing as the facet there does. */
function meanNormal(tree: FacetTree, point: Vec3, axis: Vec3, packed: number, radius: number): Vec3 {
  const facing = facetNormal(tree, packed) ?? scale(axis, -1);
  const facets = facetsInBore(tree, point, axis, radius, -radius, radius);
  const near = connectedFacets(tree, facets, packed, facing, CUT_COSINE);
  const sum = [0, 0, 0];
  for (const facet of facets) {
    if (!near.has(facet.packed)) continue;
    const area = polygonArea(facet.polygon);
    for (let c = 0; c < 3; c++) sum[c]! += area * facet.normal[c]!;
  }
  const mean = sum as unknown as Vec3;
  return norm(mean) > 0 ? normalized(mean) : facing;
}
