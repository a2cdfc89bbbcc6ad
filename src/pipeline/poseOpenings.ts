import type { Cavity } from '../core/field/cavity.ts';
import { BEYOND_WALL_MM } from '../core/openings/placeMouth.ts';
import { SNAP_MM } from '../core/openings/placeOpening.ts';
import { extremePoints } from '../core/pose/extremePoints.ts';
import type { PoseOpening } from '../core/pose/openingsAway.ts';
import { scale, type Vec3 } from '../core/vector.ts';
import type { PartRequest } from './partRequest.ts';

/** Vents and drains of a part with the hollows they reach; those that reach none are left out. */
export function poseOpenings(
  cavity: Cavity,
  { openings, factor, wall }: Pick<PartRequest, 'openings' | 'factor' | 'wall'>,
): PoseOpening[] {
  const hulls = new Map<number, Float64Array>();
  return openings.flatMap(({ kind, at, depth }): PoseOpening[] => {
    if (kind === 'tube' || kind === 'passage') return [];
    const place = scale(at, factor);
    const chamber = nearestChamber(cavity, place, SNAP_MM + (depth ?? (wall ?? 0) + BEYOND_WALL_MM));
    if (chamber === null) return [];
    const hollow = hulls.get(chamber) ?? extremePoints(pointsOf(cavity, chamber));
    hulls.set(chamber, hollow);
    return [{ at: place, end: kind === 'vent' ? 'plate' : 'film', hollow }];
  });
}

/** By the corners of its facets. */
function nearestChamber({ mesh, facetChamber }: Cavity, [x, y, z]: Vec3, reachMm: number): number | null {
  const { positions: p, triangles: t } = mesh;
  let nearest = reachMm ** 2;
  let chamber: number | null = null;
  for (let at = 0; at < t.length; at++) {
    const v = 3 * t[at]!;
    const squared = (p[v]! - x) ** 2 + (p[v + 1]! - y) ** 2 + (p[v + 2]! - z) ** 2;
    if (squared > nearest) continue;
    nearest = squared;
    chamber = facetChamber[Math.floor(at / 3)]!;
  }
  return chamber;
}

function pointsOf({ mesh, facetChamber }: Cavity, chamber: number): Float32Array {
  const points: number[] = [];
  for (let at = 0; at < mesh.triangles.length; at++) {
    if (facetChamber[Math.floor(at / 3)] !== chamber) continue;
    const v = 3 * mesh.triangles[at]!;
    points.push(mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!);
  }
  return Float32Array.from(points);
}
