import { closestPoint, closestPointScratch } from '../../../src/core/field/closestPoint.ts';
import type { FacetTree } from '../../../src/core/field/facetTree.ts';
import type { OpeningDecision, OpeningFacts, PlacedOpening } from '../../../src/core/openings/opening.ts';
import { dot, norm, normalized, scale, type Vec3 } from '../../../src/core/vector.ts';
import { type BoreFacet, connectedFacets, facetNormal, facetsInBore, polygonArea } from './boreViewByTree.ts';
import { measureBoreByTree } from './measureBoreByTree.ts';
import type { PartByTree } from './partByTree.ts';

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
 * area-weighted normal over the mouth's disc.
 */
export function placeOpeningByTree(decision: OpeningDecision, part: PartByTree): OpeningFacts {
  const found = closestPointScratch();
  const asked = part.toPrint(decision.at);
  const [x, y, z] = asked;
  closestPoint(part.outer, x, y, z, -1, found);
  const surfaceDistanceMm = Math.sqrt(found.squared);
  // Written so that a point that is no number lies on no surface.
  if (!(surfaceDistanceMm <= SNAP_MM)) return offSurface(decision, asked, surfaceDistanceMm);
  const mouth: Vec3 = [found.x, found.y, found.z];
  const radius = decision.diameter / 2;
  const inward = mouthAxis(part.outer, mouth, found.packed, radius);
  const axis = chosenAxis(decision, part) ?? inward;
  const depth = decision.depth ?? defaultDepth(axis, inward, part);
  const outward = outwardReach(part.outer, mouth, axis, found.packed, radius);
  const placed: PlacedOpening = { id: decision.id, kind: decision.kind, mouth, axis, radius, depth, outward };
  const facing = scale(inward, -1);
  const bore = measureBoreByTree(placed, part, found.packed);
  return { decision, placed, asked, surfaceDistanceMm, facing, showReachMm: null, ...bore };
}

function offSurface(decision: OpeningDecision, asked: Vec3, surfaceDistanceMm: number): OpeningFacts {
  return {
    decision,
    placed: null,
    asked,
    surfaceDistanceMm,
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
function defaultDepth(axis: Vec3, inward: Vec3, { wallMm }: PartByTree): number {
  if (wallMm === null) return SOLID_DEPTH_MM;
  const cosine = axis === inward ? 1 : Math.min(1, Math.max(LEAST_COSINE, dot(axis, inward)));
  return wallMm / cosine + BEYOND_WALL_MM;
}

function chosenAxis({ toward }: OpeningDecision, part: PartByTree): Vec3 | null {
  if (!toward) return null;
  const direction = part.directionToPrint(toward);
  return norm(direction) > 0 ? normalized(direction) : null;
}

/** Facets within 60° of the mouth's normal face the same way. */
const SAME_WAY = 0.5;
/** Turns of the disc until it lies square to its own mean normal. */
const TURNS = 3;

/** The reversed mean normal over the mouth's disc, of the surface that hangs together there and faces the same way. */
function mouthAxis(outer: FacetTree, mouth: Vec3, packed: number, radius: number): Vec3 {
  let facing: Vec3 = facetNormal(outer, packed) ?? [0, 0, 1];
  for (let turn = 0; turn < TURNS; turn++) {
    const facets = facetsInBore(outer, mouth, scale(facing, -1), radius, -radius, radius);
    const patch = connectedFacets(outer, facets, packed, facing, SAME_WAY);
    const sum = [0, 0, 0];
    for (const facet of facets) {
      if (!patch.has(facet.packed)) continue;
      const area = polygonArea(facet.polygon);
      for (let axis = 0; axis < 3; axis++) sum[axis]! += area * facet.normal[axis]!;
    }
    const mean = sum as unknown as Vec3;
    if (norm(mean) === 0) break;
    facing = normalized(mean);
  }
  return scale(facing, -1);
}

/** How far the cutter must reach out of the mouth to clear the surface round it, short of any other surface. */
function outwardReach(outer: FacetTree, mouth: Vec3, axis: Vec3, packed: number, radius: number): number {
  const facing = scale(axis, -1);
  const facets = facetsInBore(outer, mouth, axis, radius, -4 * radius, radius);
  const patch = connectedFacets(outer, facets, packed, facing, SAME_WAY);
  let sagitta = 0;
  for (const facet of facets) if (patch.has(facet.packed)) sagitta = Math.max(sagitta, -nearestDepth(facet));
  const above = facets.filter((facet) => !patch.has(facet.packed) && dot(facet.normal, facing) < 0);
  const second = Math.min(
    Infinity,
    ...above
      .map(farthestDepth)
      .filter((depth) => depth < 0)
      .map((depth) => -depth),
  );
  return Math.max(0, Math.min(sagitta + CLEAR_MM, second - CLEAR_MM));
}

const nearestDepth = ({ polygon }: BoreFacet): number => Math.min(...polygon.map((point) => point[2]));
const farthestDepth = ({ polygon }: BoreFacet): number => Math.max(...polygon.map((point) => point[2]));
