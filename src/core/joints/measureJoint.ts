import { type Interrupter, portion } from '../interrupter.ts';
import { intersectRuns } from '../rays/intersectRuns.ts';
import type { Runs } from '../rays/runs.ts';
import { runsVolume } from '../rays/runsVolume.ts';
import { dot, norm, subtract, type Vec3 } from '../vector.ts';
import { gapSpread } from './gapSpread.ts';
import type { GapSpread, Joint, JointOverlap } from './joint.ts';
import { packFaces } from './jointFaces.ts';
import {
  castSolid,
  type JointBody,
  type JointPlace,
  jointPlaces,
  pieceStep,
  sharedBox,
  sharedLattice,
} from './jointPlaces.ts';
import { labelRegions, regionsOf } from './jointRegions.ts';
import { takeOff } from './takeOff.ts';

/** Regions smaller than this are two surfaces that pass by each other, unless solid overlaps there. */
const LEAST_REGION_MM2 = 4;
/** Solid overlaps where one part lies in the other by more than this: less is rounding and coarse facets. */
export const OVERLAP_MM = 0.01;
/** A face slides when it lies within 45° of the way in which the parts come apart. */
const SLIDING = Math.SQRT1_2;
/** Share of the faces that must slide before the joint is one that slides together. */
const LEAST_SLIDING = 0.1;
/** How far faces look away from the middle on the mean, as a share, before a part counts as the plug. */
const ENCLOSING = 0.1;

/**
 * How two parts meet as the sculptor put them together; null where they do not. Faces of either count where they look at
 * the other's within `reachMm`, and wherever they lie inside it. Swapping the parts swaps what is said of them.
 */
export function measureJoint(
  first: JointBody,
  second: JointBody,
  reachMm: number,
  interrupter: Interrupter,
): Joint | null {
  const box = sharedBox(first.bounds, second.bounds, reachMm);
  if (box.min.some((low, axis) => low > box.max[axis]!)) return null;
  const stepMm = pieceStep(first, second, box, portion(interrupter, 0, 0.02));
  const lattice = sharedLattice(first, second);
  const solids = lattice && [
    castSolid(first, lattice, portion(interrupter, 0.02, 0.1)),
    castSolid(second, lattice, portion(interrupter, 0.1, 0.2)),
  ];
  const found = [
    ...jointPlaces(
      first,
      second,
      solids?.[1] ?? null,
      true,
      box,
      stepMm,
      reachMm,
      portion(interrupter, 0.2, 0.6),
    ),
    ...jointPlaces(
      second,
      first,
      solids?.[0] ?? null,
      false,
      box,
      stepMm,
      reachMm,
      portion(interrupter, 0.6, 0.95),
    ),
  ];
  const { label, count } = labelRegions(found, Math.max(2, 3 * stepMm));
  interrupter(0.96);
  const regions = regionsOf(found, label, count);
  const deepest = new Float64Array(count);
  for (const [n, { gapMm }] of found.entries()) deepest[label[n]!] = Math.min(deepest[label[n]!]!, gapMm);
  const counts = regions.map(
    ({ areaMm2 }, region) => areaMm2 >= LEAST_REGION_MM2 || deepest[region]! < -OVERLAP_MM,
  );
  const places = found.filter((_, n) => counts[label[n]!]);
  if (places.length === 0) return null;
  interrupter(0.97);
  const { off, caught } = takeOff(places);
  const sliding = places.filter(({ outOfFirst }) => Math.abs(dot(outOfFirst, off)) < SLIDING);
  interrupter(0.98);
  const gap = halved(gapSpread(places))!;
  const slide = halved(gapSpread(sliding));
  const slides = slide !== null && slide.areaMm2 >= LEAST_SLIDING * gap.areaMm2;
  const judged = slides ? sliding : places;
  return {
    gap,
    slide: slides ? slide : null,
    plug: plugOf(places),
    off,
    caught,
    regions: regions.filter((_, region) => counts[region]).sort((a, b) => b.areaMm2 - a.areaMm2),
    overlap: overlapOf(places, solids),
    nearest: judged.reduce((best, place) => (place.gapMm < best.gapMm ? place : best)).at,
    faces: packFaces(judged),
  };
}

/** Both parts' pieces stand for one face each. */
const halved = (spread: GapSpread | null): GapSpread | null =>
  spread && { ...spread, areaMm2: spread.areaMm2 / 2 };

/** Overlaps of less area are told as none: a fold in the surface of one part feigns as much. Engineering choice. */
const LEAST_OVERLAP_MM2 = 0.5;
/** Overlaps thinner than this are told by their faces: rows may pass them by. */
const THIN_MM = 1;

function overlapOf(places: readonly JointPlace[], solids: readonly Runs[] | null): JointOverlap | null {
  const deepest = deepestOver(places, LEAST_OVERLAP_MM2);
  if (deepest === null) return null;
  const depthMm = -deepest.gapMm;
  const isThin = depthMm < THIN_MM || solids === null;
  const volumeMm3 = isThin ? sheetVolume(places) : runsVolume(intersectRuns(solids[0]!, solids[1]!));
  return { volumeMm3, depthMm, at: deepest.at };
}

/** The place that so much area lies as deep as or deeper than; null where less overlaps. */
function deepestOver(places: readonly JointPlace[], areaMm2: number): JointPlace | null {
  let left = areaMm2;
  const inside = places.filter(({ gapMm }) => gapMm < -OVERLAP_MM).sort((a, b) => a.gapMm - b.gapMm);
  for (const place of inside) {
    left -= place.areaMm2;
    if (left <= 0) return place;
  }
  return null;
}

/** Of a sheet: both its faces are among the places, each as far from the other as the sheet is thick. */
const sheetVolume = (places: readonly JointPlace[]): number =>
  places.reduce((sum, { areaMm2, gapMm }) => (gapMm < 0 ? sum - (areaMm2 * gapMm) / 2 : sum), 0);

/** The faces of a plug look away from their middle, those of a socket toward it. */
function plugOf(places: readonly JointPlace[]): Joint['plug'] {
  const area = places.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
  const middle = [0, 1, 2].map(
    (axis) => places.reduce((sum, { at, areaMm2 }) => sum + areaMm2 * at[axis]!, 0) / area,
  ) as unknown as Vec3;
  let outward = 0;
  let away = 0;
  for (const { at, outOfFirst, areaMm2 } of places) {
    const from = subtract(at, middle);
    outward += areaMm2 * dot(outOfFirst, from);
    away += areaMm2 * norm(from);
  }
  const share = away > 0 ? outward / away : 0;
  return share > ENCLOSING ? 'first' : share < -ENCLOSING ? 'second' : null;
}
