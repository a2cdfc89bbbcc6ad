import type { FieldLattice } from '../field/fieldLattice.ts';
import { BRICK } from '../field/fieldLattice.ts';
import { type SurfaceSamples, sampleSurface } from '../field/surfaceSamples.ts';
import { type Interrupter, portion } from '../interrupter.ts';
import { boundsOf } from '../mesh/boundsOf.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { joinSets, numberSets, singletons } from '../unionFind.ts';
import { oppositeSkin } from './oppositeSkin.ts';
import { pointGrid, visitNear } from './pointGrid.ts';
import type { SkinPoints } from './skinPoints.ts';
import type { ThinPatch } from './thinPatch.ts';

/** The surface is sampled as for a wall of this size: a point for each cubic cell of 0.6 mm. */
const SAMPLED_FOR_MM = 1.5;
const CELL_MM = 0.6;
/** How far the next sample may be. */
const SPACING_MM = 0.9;
/** Skins that face apart by more are the two sides of an edge, not of a sheet. Engineering choice. */
const PARALLEL_DEG = 15;
/** A sheet's thickness is the one that this part of its points lie under: single points see it some hundredths too thin. */
const THIN_SHARE = 0.1;
/** A surface that would take more samples is not looked at. */
const MOST_SAMPLES = 4e6;
const MOST_BRICKS = 4e6;
/** mm. */
const LEAST_BRICK = 4;

/**
 * Sheets of the sculpt itself thinner than `limitMm`: patches where the surface faces itself through
 * the solid, near-parallel. The largest first. Wedges of more than 15° and tips count only where they
 * are blunt. Sheets are seen by samples 0.6 mm apart, so one narrower than that may be missed. Empty
 * for a surface of more than about 1.4 m². `mesh` is closed and outward, in print mm;
 * `knownAreaMm2` spares summing its area.
 */
export function thinSheets(
  mesh: Mesh,
  limitMm: number,
  interrupter: Interrupter,
  knownAreaMm2: number | null = null,
): ThinPatch[] {
  const areaMm2 = knownAreaMm2 ?? surfaceArea(mesh);
  if (mesh.triangles.length === 0 || areaMm2 > MOST_SAMPLES * CELL_MM * CELL_MM) return [];
  const lattice = latticeOver(mesh);
  const samples = sampleSurface(
    mesh,
    lattice,
    SAMPLED_FOR_MM,
    [0, lattice.bricks[2]],
    portion(interrupter, 0, 0.4),
  );
  const skin = sampledSkin(mesh, samples, areaMm2);
  const options = { mostMm: limitMm, spacingMm: SPACING_MM, withinDeg: PARALLEL_DEG };
  const { thicknessMm } = oppositeSkin(skin, options, portion(interrupter, 0.4, 0.9));
  return patches(skin, thicknessMm);
}

function surfaceArea({ positions: p, triangles: t }: Mesh): number {
  let doubled = 0;
  for (let f = 0; f < t.length; f += 3) {
    const [x, y, z] = doubledNormal(p, 3 * t[f]!, 3 * t[f + 1]!, 3 * t[f + 2]!);
    doubled += Math.sqrt(x * x + y * y + z * z);
  }
  return doubled / 2;
}

function doubledNormal(p: Float32Array, a: number, b: number, c: number): [number, number, number] {
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  return [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
}

/** Bricks over the bounds, wide enough that there are not too many. */
function latticeOver({ positions }: Mesh): FieldLattice {
  const { min, max } = boundsOf(positions);
  const size = min.map((low, axis) => max[axis]! - low);
  const volume = size.reduce((product, side) => product * (side + LEAST_BRICK), 1);
  const brick = Math.max(LEAST_BRICK, Math.cbrt(volume / MOST_BRICKS));
  const bricks = size.map((side) => Math.ceil(side / brick) + 1);
  return {
    origin: [min[0], min[1], min[2]],
    spacing: brick / BRICK,
    bricks: [bricks[0]!, bricks[1]!, bricks[2]!],
  };
}

/** Samples with the normals of their facets; they share the whole area by how much of a plane so inclined a cubic cell holds. */
function sampledSkin(
  { positions: p, triangles: t }: Mesh,
  { points, facet }: SurfaceSamples,
  wholeMm2: number,
): SkinPoints {
  let shares = 0;
  const normals = new Float32Array(points.length);
  const areaMm2 = new Float32Array(facet.length);
  for (let s = 0; s < facet.length; s++) {
    const f = 3 * facet[s]!;
    const [x, y, z] = doubledNormal(p, 3 * t[f]!, 3 * t[f + 1]!, 3 * t[f + 2]!);
    const length = Math.sqrt(x * x + y * y + z * z) || 1;
    normals[3 * s] = x / length;
    normals[3 * s + 1] = y / length;
    normals[3 * s + 2] = z / length;
    // A plane passes (|nx| + |ny| + |nz|) / cell² cubic cells per area, on the mean.
    areaMm2[s] = length / (Math.abs(x) + Math.abs(y) + Math.abs(z) || 1);
    shares += areaMm2[s]!;
  }
  return { points, normals, areaMm2: areaMm2.map((share) => (share * wholeMm2) / shares) };
}

/** Thin points within two spacings of each other, on whichever side, are one patch. */
function patches({ points, areaMm2 }: SkinPoints, thicknessMm: Float32Array): ThinPatch[] {
  const thin: number[] = [];
  for (let n = 0; n < thicknessMm.length; n++) if (thicknessMm[n]! < Infinity) thin.push(n);
  if (thin.length === 0) return [];
  const places = Float32Array.from(thin.flatMap((n) => [...points.subarray(3 * n, 3 * n + 3)]));
  const grid = pointGrid(places, 2 * SPACING_MM);
  const sets = singletons(thin.length);
  for (let n = 0; n < thin.length; n++) {
    const [x, y, z] = [places[3 * n]!, places[3 * n + 1]!, places[3 * n + 2]!];
    visitNear(grid, x, y, z, 2 * SPACING_MM, (other) => {
      const gap = Math.hypot(places[3 * other]! - x, places[3 * other + 1]! - y, places[3 * other + 2]! - z);
      if (other < n && gap <= 2 * SPACING_MM) joinSets(sets, n, other);
    });
  }
  const { label, count } = numberSets(sets);
  const members: number[][] = Array.from({ length: count }, () => []);
  thin.forEach((point, n) => void members[label[n]!]!.push(point));
  return members
    .map((patch) => {
      const byThickness = patch.sort((a, b) => thicknessMm[a]! - thicknessMm[b]! || a - b);
      const point = byThickness[Math.floor(THIN_SHARE * patch.length)]!;
      return {
        thicknessMm: thicknessMm[point]!,
        // Both sides of the sheet are here.
        areaMm2: patch.reduce((sum, n) => sum + areaMm2[n]!, 0) / 2,
        at: [points[3 * point]!, points[3 * point + 1]!, points[3 * point + 2]!] as const,
      };
    })
    .sort((a, b) => b.areaMm2 - a.areaMm2);
}
