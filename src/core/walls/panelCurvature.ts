import type { Vec3 } from '../vector.ts';
import type { InscribedCircle } from './inscribedCircle.ts';
import type { SkinPoints } from './skinPoints.ts';

/** Principal curvatures of a piece of a cavity, 1/mm, positive where the wall bends away from its outside, and their directions. */
export interface PanelCurvature {
  readonly most: number;
  readonly least: number;
  /** Direction of the greater curvature, and of the lesser. */
  readonly across: Vec3;
  readonly straight: Vec3;
}

/** Fewer corners tell no curvature. */
const LEAST_CORNERS = 12;

/**
 * Curvature within a circle by least squares on the normals: over the surface the outward normal tips
 * by M·x at a place x from the middle, M symmetric (the shape operator). Null where there are too few
 * corners to tell. The skin's normals point into the void.
 */
export function panelCurvature(
  { points, normals, areaMm2 }: SkinPoints,
  members: Uint32Array,
  { at, radiusMm, u, v }: InscribedCircle,
): PanelCurvature | null {
  const inside = members.filter(
    (m) => offset(points, m, at, u) ** 2 + offset(points, m, at, v) ** 2 <= radiusMm * radiusMm,
  );
  if (inside.length < LEAST_CORNERS) return null;
  const mean = { x: 0, y: 0, a: 0, b: 0 };
  let weight = 0;
  for (const m of inside) {
    const w = areaMm2[m]!;
    weight += w;
    mean.x += w * offset(points, m, at, u);
    mean.y += w * offset(points, m, at, v);
    mean.a -= w * component(normals, m, u);
    mean.b -= w * component(normals, m, v);
  }
  const s = { xx: 0, xy: 0, yy: 0, ax: 0, ay: 0, bx: 0, by: 0 };
  for (const m of inside) {
    const w = areaMm2[m]!;
    const x = offset(points, m, at, u) - mean.x / weight;
    const y = offset(points, m, at, v) - mean.y / weight;
    const a = -component(normals, m, u) - mean.a / weight;
    const b = -component(normals, m, v) - mean.b / weight;
    s.xx += w * x * x;
    s.xy += w * x * y;
    s.yy += w * y * y;
    s.ax += w * a * x;
    s.ay += w * a * y;
    s.bx += w * b * x;
    s.by += w * b * y;
  }
  const shape = solveSymmetric(s);
  return shape === null ? null : principal(shape, u, v);
}

const offset = (p: Float32Array, m: number, at: Vec3, way: Vec3): number =>
  (p[3 * m]! - at[0]) * way[0] + (p[3 * m + 1]! - at[1]) * way[1] + (p[3 * m + 2]! - at[2]) * way[2];

const component = (n: Float32Array, m: number, way: Vec3): number =>
  n[3 * m]! * way[0] + n[3 * m + 1]! * way[1] + n[3 * m + 2]! * way[2];

/** M of the normal equations: p·xx + q·xy = ax, p·xy + q·(xx + yy) + r·xy = ay + bx, q·xy + r·yy = by. */
function solveSymmetric(s: {
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
  readonly ax: number;
  readonly ay: number;
  readonly bx: number;
  readonly by: number;
}): { p: number; q: number; r: number } | null {
  const { xx, xy, yy } = s;
  const middle = xx + yy - (xy * xy) / xx - (xy * xy) / yy;
  if (!(xx > 0 && yy > 0 && middle > 1e-9 * (xx + yy))) return null;
  const q = (s.ay + s.bx - (xy * s.ax) / xx - (xy * s.by) / yy) / middle;
  return { p: (s.ax - q * xy) / xx, q, r: (s.by - q * xy) / yy };
}

function principal({ p, q, r }: { p: number; q: number; r: number }, u: Vec3, v: Vec3): PanelCurvature {
  const mean = (p + r) / 2;
  const spread = Math.hypot((p - r) / 2, q);
  const angle = 0.5 * Math.atan2(2 * q, p - r);
  const first = mix(u, v, Math.cos(angle), Math.sin(angle));
  const second = mix(u, v, -Math.sin(angle), Math.cos(angle));
  // `first` has the algebraically greater curvature.
  return { most: mean + spread, least: mean - spread, across: first, straight: second };
}

const mix = (u: Vec3, v: Vec3, a: number, b: number): Vec3 => [
  a * u[0] + b * v[0],
  a * u[1] + b * v[1],
  a * u[2] + b * v[2],
];
