import type { Interrupter } from '../interrupter.ts';
import { facingPoints } from './facingPoints.ts';
import { pointGrid, visitNear } from './pointGrid.ts';
import type { SkinPoints } from './skinPoints.ts';

/** For each point the skin on the other side of the solid, where that is near. Parallel to the points. */
export interface OppositeSkin {
  /** Diameter of the ball in the solid that touches the skin at the point and opposite; Infinity where it would be too large. */
  readonly thicknessMm: Float32Array;
  /** The point by which the skin opposite is known, −1 where there is none. */
  readonly other: Int32Array;
}

export interface OppositeOptions {
  /** Nothing thicker is looked for, mm. */
  readonly mostMm: number;
  /** How far the points stand from each other at most: the skin opposite is known this far round a point, mm. */
  readonly spacingMm: number;
  /** The two skins face apart to within this angle, 30 at most. */
  readonly withinDeg: number;
}

/**
 * Of several points opposite one that stands aside by s counts as s² / this further away: a plane
 * through it runs off a skin bent to a radius of 2 mm by that much.
 */
const BENT_MM = 8;

/**
 * Local thickness where it is small: the diameter of the largest ball in the solid that touches the
 * skin at a point (Hildebrand & Rüegsegger 1997 define thickness by inscribed balls; the ball at a
 * point with its normal is that of Ma, Bae & Choi 2012). The skin opposite is taken as the plane
 * through each of its points: (q − p)·m = r·(1 + u·m) for a ball of radius r that starts from p along u
 * and touches the plane of normal m through q. Near linear.
 */
export function oppositeSkin(
  skin: SkinPoints,
  { mostMm, spacingMm, withinDeg }: OppositeOptions,
  interrupter: Interrupter,
): OppositeSkin {
  const { points, normals } = skin;
  const count = points.length / 3;
  const thicknessMm = new Float32Array(count).fill(Infinity);
  const other = new Int32Array(count).fill(-1);
  if (count === 0) return { thicknessMm, other };
  const leastCosine = Math.cos((withinDeg * Math.PI) / 180);
  const facing = facingPoints(skin, mostMm + spacingMm);
  if (facing.length === 0) return { thicknessMm, other };
  const grid = pointGrid(points, mostMm + spacingMm, facing);
  const most = mostMm / 2;
  let px = 0;
  let py = 0;
  let pz = 0;
  let ux = 0;
  let uy = 0;
  let uz = 0;
  let radius = Infinity;
  let least = Infinity;
  let found = -1;
  const offer = (q: number): void => {
    const mx = normals[3 * q]!;
    const my = normals[3 * q + 1]!;
    const mz = normals[3 * q + 2]!;
    const cosine = ux * mx + uy * my + uz * mz;
    if (cosine < leastCosine) return;
    const dx = points[3 * q]! - px;
    const dy = points[3 * q + 1]! - py;
    const dz = points[3 * q + 2]! - pz;
    const r = (dx * mx + dy * my + dz * mz) / (1 + cosine);
    if (!(r > 0 && r <= most)) return;
    const fx = dx - r * (ux + mx);
    const fy = dy - r * (uy + my);
    const fz = dz - r * (uz + mz);
    const off = fx * fx + fy * fy + fz * fz;
    if (off > spacingMm * spacingMm || r + off / BENT_MM >= least) return;
    least = r + off / BENT_MM;
    radius = r;
    found = q;
  };
  for (let n = 0; n < facing.length; n++) {
    if ((n & 0x3fff) === 0) interrupter(n / facing.length);
    const p = facing[n]!;
    px = points[3 * p]!;
    py = points[3 * p + 1]!;
    pz = points[3 * p + 2]!;
    ux = -normals[3 * p]!;
    uy = -normals[3 * p + 1]!;
    uz = -normals[3 * p + 2]!;
    least = Infinity;
    found = -1;
    visitNear(grid, px + most * ux, py + most * uy, pz + most * uz, most + spacingMm, offer);
    if (found < 0) continue;
    thicknessMm[p] = 2 * radius;
    other[p] = found;
  }
  return { thicknessMm, other };
}
