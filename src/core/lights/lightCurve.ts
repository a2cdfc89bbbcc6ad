import { norm, subtract, type Vec3 } from '../vector.ts';
import { type CubicSpline, cubicSpline, splineAt } from './cubicSpline.ts';

/** A light's middle line as a chain of straight pieces, mm. */
export interface LightCurve {
  readonly points: readonly Vec3[];
  /** From its start to each point. */
  readonly alongMm: readonly number[];
  readonly lengthMm: number;
  /** Of its middle line, where it bends most; Infinity of a straight one. */
  readonly leastRadiusMm: number;
  readonly leastRadiusAt: Vec3;
}

/** The wall of a tube that is cut along the chain stays within this of the one along the curve, mm. */
export const CURVE_ERROR_MM = 0.02;
const MOST_PIECES = 64;
const LOOKS = 64;

/**
 * The smooth curve through points (`cubicSpline`), in mm of the finished size: bends are judged there. `reachMm` is the
 * radius out to which the error counts: a chord of length s at a curvature k lies k·s²/8 off, and a mitre at the
 * radius r stands out by k·s²·(1 + k·r)/8 at most. At 64 pieces a span the chain is no finer. Null for no curve.
 */
export function lightCurve(path: readonly Vec3[], reachMm: number): LightCurve | null {
  const spline = cubicSpline(path);
  if (spline === null) return null;
  const points: Vec3[] = [spline.points[0]!];
  let sharpest = { curvature: 0, at: spline.points[0]! };
  for (let span = 0; span + 1 < spline.points.length; span++) {
    const look = lookAlong(spline, span);
    if (look.curvature > sharpest.curvature) sharpest = look;
    const k = look.curvature;
    const longest = Math.sqrt((8 * CURVE_ERROR_MM) / (k * (1 + k * reachMm)));
    const pieces = k === 0 ? 1 : Math.min(MOST_PIECES, Math.max(1, Math.ceil(look.length / longest)));
    for (let n = 1; n <= pieces; n++) points.push(splineAt(spline, span, n / pieces).at);
  }
  const alongMm = [0];
  for (let n = 1; n < points.length; n++)
    alongMm.push(alongMm[n - 1]! + norm(subtract(points[n]!, points[n - 1]!)));
  return {
    points,
    alongMm,
    lengthMm: alongMm.at(-1)!,
    leastRadiusMm: 1 / sharpest.curvature,
    leastRadiusAt: sharpest.at,
  };
}

function lookAlong(spline: CubicSpline, span: number): { curvature: number; at: Vec3; length: number } {
  let { at, curvature } = splineAt(spline, span, 0);
  let before = at;
  let length = 0;
  for (let n = 1; n <= LOOKS; n++) {
    const next = splineAt(spline, span, n / LOOKS);
    length += norm(subtract(next.at, before));
    before = next.at;
    if (next.curvature > curvature) ({ at, curvature } = next);
  }
  // A straight row of points bends by rounding alone.
  return { curvature: curvature < 1e-9 ? 0 : curvature, at, length };
}

/** The point so far along the chain. */
export function pointAlong({ points, alongMm }: Pick<LightCurve, 'points' | 'alongMm'>, at: number): Vec3 {
  let n = 1;
  while (n + 1 < points.length && alongMm[n]! < at) n++;
  const [from, to] = [alongMm[n - 1]!, alongMm[n]!];
  const share = to > from ? Math.min(1, Math.max(0, (at - from) / (to - from))) : 0;
  const [p, q] = [points[n - 1]!, points[n]!];
  return [p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1]), p[2] + share * (q[2] - p[2])];
}
