import type { Cavity } from '../field/cavity.ts';
import { furthestAlong } from '../furthestAlong.ts';
import { type Interrupter, portion } from '../interrupter.ts';
import type { Vec3 } from '../vector.ts';
import { cavitySkin } from './cavitySkin.ts';
import { inscribedCircle } from './inscribedCircle.ts';
import { type NearFlatRegion, nearFlatRegions } from './nearFlatRegions.ts';
import { panelCurvature } from './panelCurvature.ts';
import { reachRims } from './reachRims.ts';
import { type SkinPatches, skinPatches } from './skinPatches.ts';
import type { SkinPoints } from './skinPoints.ts';
import type { WallPanel } from './wallPanel.ts';

/** Cells of the patches, mm: a few spacings of the field. */
const CELL_MM = 2;
/** Panels narrower than so many walls, and pieces of less than their square, bear any suction there is. Engineering choice. */
const LEAST_WALLS = 4;
/** The largest regions are looked at closely. */
const MOST_REGIONS = 300;
/** Corners of a near-flat region bend no further from its axis than this, or they belong to its rim. */
const RIM_COSINE = Math.cos((20 * Math.PI) / 180);
/** A wall that bends more than this from the middle of a piece to its rim goes on bending beyond it: it is curved. Engineering choice. */
const CURVED = Math.sin((5 * Math.PI) / 180);
/** Of two radii the larger makes a shell of it up to this ratio, a tube beyond. Engineering choice. */
const MOST_OVAL = 3;

/**
 * The walls of every chamber in pieces that a formula can judge. A piece is a near-flat region of the
 * cavity's surface (normals within 12°). Where its normals hardly change up to its rim it is a panel
 * held there; where they keep turning it is part of a wider curved wall, told by its radii. What curves
 * inward is stretched by suction, not bent, and left out. In the cavity's frame.
 */
export function wallPanels(
  cavity: Pick<Cavity, 'mesh' | 'facetChamber'>,
  wallMm: number,
  interrupter: Interrupter,
): WallPanel[] {
  const skin = cavitySkin(cavity.mesh);
  const patches = skinPatches(cavity.mesh, cavity.facetChamber, skin, CELL_MM, portion(interrupter, 0, 0.4));
  const regions = nearFlatRegions(patches, (LEAST_WALLS * wallMm) ** 2).slice(0, MOST_REGIONS);
  interrupter(0.6);
  const labels = cornerRegions(skin, patches, regions);
  reachRims(cavity.mesh.triangles, skin, regions, labels);
  const rims = rimPoints(cavity.mesh.triangles, skin.points, labels, regions.length);
  const members = cornersOfRegions(labels, regions.length);
  return regions.flatMap((region, n) => {
    interrupter(0.6 + (0.4 * n) / regions.length);
    const panel = panelOf(region, patches, skin, members[n]!, rims[n]!);
    return panel === null || (panel.shape === 'flat' && panel.spanMm < LEAST_WALLS * wallMm) ? [] : panel;
  });
}

/** Region of every corner, −1 for none. */
function cornerRegions(
  { normals }: SkinPoints,
  { patchOf, count }: SkinPatches,
  regions: readonly NearFlatRegion[],
): Int32Array {
  const regionOf = new Int32Array(count).fill(-1);
  regions.forEach(({ patches }, region) => {
    for (const patch of patches) regionOf[patch] = region;
  });
  return patchOf.map((patch, v) => {
    const region = regionOf[patch]!;
    if (region < 0) return -1;
    const [x, y, z] = regions[region]!.axis;
    const cosine = x * normals[3 * v]! + y * normals[3 * v + 1]! + z * normals[3 * v + 2]!;
    return cosine >= RIM_COSINE ? region : -1;
  });
}

/** The first corners beyond each region: where two faces meet sharply, those on the crease. */
function rimPoints(t: Uint32Array, p: Float32Array, labels: Int32Array, count: number): number[][] {
  const rims: number[][] = Array.from({ length: count }, () => []);
  for (let corner = 0; corner < t.length; corner++) {
    const next = corner % 3 === 2 ? corner - 2 : corner + 1;
    const a = t[corner]!;
    const b = t[next]!;
    // The facet across the edge sees it the other way round.
    if (labels[a] === labels[b] || labels[a]! < 0) continue;
    rims[labels[a]!]!.push(p[3 * b]!, p[3 * b + 1]!, p[3 * b + 2]!);
  }
  return rims;
}

/** Corners of each region, ascending. */
function cornersOfRegions(labels: Int32Array, count: number): Uint32Array[] {
  const start = new Uint32Array(count + 1);
  for (let corner = 0; corner < labels.length; corner++)
    if (labels[corner]! >= 0) start[labels[corner]! + 1]!++;
  for (let region = 0; region < count; region++) start[region + 1]! += start[region]!;
  const corners = new Uint32Array(start[count]!);
  const cursor = start.slice();
  for (let corner = 0; corner < labels.length; corner++) {
    const region = labels[corner]!;
    if (region >= 0) corners[cursor[region]!++] = corner;
  }
  return Array.from({ length: count }, (_, region) => corners.subarray(start[region]!, start[region + 1]!));
}

function panelOf(
  { axis, patches: own }: NearFlatRegion,
  patches: SkinPatches,
  skin: SkinPoints,
  members: Uint32Array,
  rim: readonly number[],
): WallPanel | null {
  if (rim.length === 0 || members.length === 0) return null;
  const circle = inscribedCircle(
    own.map((patch) => patches.places.subarray(3 * patch, 3 * patch + 3)),
    rim,
    axis,
  );
  const curvature = panelCurvature(skin, members, circle);
  if (curvature === null) return null;
  const areaMm2 = members.reduce((sum, v) => sum + skin.areaMm2[v]!, 0);
  const shape = shapeOf(curvature, circle.radiusMm);
  if (shape === null) return null;
  const spanMm =
    shape.shape === 'tube'
      ? lengthAlong(skin, members, curvature.straight, circle.at, curvature.across, circle.radiusMm)
      : 2 * circle.radiusMm;
  return {
    chamber: patches.chamber[own[0]!]!,
    ...shape,
    spanMm,
    lengthMm: areaMm2 / (2 * circle.radiusMm),
    at: nearestMember(skin, members, circle.at),
    outward: [-axis[0], -axis[1], -axis[2]],
    extremes: extremesOf(skin, members, rim),
  };
}

/** Null for what curves inward. */
function shapeOf(
  { most, least }: { readonly most: number; readonly least: number },
  radiusMm: number,
): Pick<WallPanel, 'shape' | 'radiusMm'> | null {
  const curves = (curvature: number): boolean => Math.abs(curvature) * radiusMm > CURVED;
  if (!curves(most) && !curves(least)) return { shape: 'flat', radiusMm: null };
  if (!curves(most) || most < 0) return null;
  if (curves(least) && least > 0 && most / least <= MOST_OVAL) return { shape: 'shell', radiusMm: 1 / least };
  return { shape: 'tube', radiusMm: 1 / most };
}

/** How far the members near the middle line reach along a direction. */
function lengthAlong(
  { points }: SkinPoints,
  members: Uint32Array,
  along: Vec3,
  middle: Vec3,
  across: Vec3,
  halfWidth: number,
): number {
  let low = Infinity;
  let high = -Infinity;
  for (const v of members) {
    const dx = points[3 * v]! - middle[0];
    const dy = points[3 * v + 1]! - middle[1];
    const dz = points[3 * v + 2]! - middle[2];
    if (Math.abs(dx * across[0] + dy * across[1] + dz * across[2]) > halfWidth) continue;
    const s = dx * along[0] + dy * along[1] + dz * along[2];
    low = Math.min(low, s);
    high = Math.max(high, s);
  }
  return Math.max(0, high - low);
}

function nearestMember({ points }: SkinPoints, members: Uint32Array, at: Vec3): Vec3 {
  let best = members[0]!;
  let least = Infinity;
  for (const v of members) {
    const gap = Math.hypot(points[3 * v]! - at[0], points[3 * v + 1]! - at[1], points[3 * v + 2]! - at[2]);
    if (gap >= least) continue;
    least = gap;
    best = v;
  }
  return [points[3 * best]!, points[3 * best + 1]!, points[3 * best + 2]!];
}

const directions = Array.from(
  { length: 27 },
  (_, n) => [(n % 3) - 1, (Math.floor(n / 3) % 3) - 1, Math.floor(n / 9) - 1] as const,
).filter((way) => way.some((c) => c !== 0));

/** Of a region and its rim: what is held begins there. */
function extremesOf({ points }: SkinPoints, members: Uint32Array, rim: readonly number[]): Vec3[] {
  const places = new Float64Array(3 * members.length + rim.length);
  for (let n = 0; n < members.length; n++) {
    for (let axis = 0; axis < 3; axis++) places[3 * n + axis] = points[3 * members[n]! + axis]!;
  }
  places.set(rim, 3 * members.length);
  return directions.map((way) => {
    const at = furthestAlong(places, way);
    return [places[at]!, places[at + 1]!, places[at + 2]!];
  });
}
