import { add, cross, norm, scale, subtract, type Vec3 } from '../vector.ts';

/** A curve through points with continuous curvature; `t` is the length of the chords up to a point. */
export interface CubicSpline {
  readonly points: readonly Vec3[];
  readonly t: readonly number[];
  /** Second derivatives at the points. */
  readonly bends: readonly Vec3[];
}

/** Points nearer to the one before than this are the same, in units of the points. */
const SAME = 1e-6;

/**
 * Interpolating cubic spline over the length of the chords, its first and last span parabolas, so that it bends no
 * more at its ends than beside them; a parabola through three points, a line through two. Null with fewer. Source: de
 * Boor, A Practical Guide to Splines, chapter IV.
 */
export function cubicSpline(given: readonly Vec3[]): CubicSpline | null {
  const points = given.filter((point, n) => n === 0 || norm(subtract(point, given[n - 1]!)) > SAME);
  if (points.length < 2) return null;
  const t = [0];
  for (let n = 1; n < points.length; n++) t.push(t[n - 1]! + norm(subtract(points[n]!, points[n - 1]!)));
  const axes = [0, 1, 2].map((axis) =>
    secondDerivatives(
      t,
      points.map((point) => point[axis]!),
    ),
  );
  return { points, t, bends: points.map((_, n) => [axes[0]![n]!, axes[1]![n]!, axes[2]![n]!]) };
}

function secondDerivatives(t: readonly number[], y: readonly number[]): number[] {
  const last = t.length - 1;
  if (last === 1) return [0, 0];
  const h = Array.from({ length: last }, (_, n) => t[n + 1]! - t[n]!);
  const slope = h.map((width, n) => (y[n + 1]! - y[n]!) / width);
  // Of the inner points: below, on and above the diagonal, and the right side.
  const below: number[] = [];
  const on: number[] = [];
  const above: number[] = [];
  const right: number[] = [];
  for (let n = 1; n < last; n++) {
    below.push(h[n - 1]!);
    on.push(2 * (h[n - 1]! + h[n]!));
    above.push(h[n]!);
    right.push(6 * (slope[n]! - slope[n - 1]!));
  }
  on[0]! += h[0]!;
  on[on.length - 1]! += h.at(-1)!;
  const inner = solveBand(below, on, above, right);
  return [inner[0]!, ...inner, inner.at(-1)!];
}

/** Thomas's elimination of a tridiagonal system. */
function solveBand(below: number[], on: number[], above: number[], right: number[]): number[] {
  for (let n = 1; n < on.length; n++) {
    const share = below[n]! / on[n - 1]!;
    on[n]! -= share * above[n - 1]!;
    right[n]! -= share * right[n - 1]!;
  }
  const found = Array<number>(on.length);
  for (let n = on.length - 1; n >= 0; n--)
    found[n] = (right[n]! - (n + 1 < on.length ? above[n]! * found[n + 1]! : 0)) / on[n]!;
  return found;
}

/** Place and curvature (1/unit) at the share `u` of span `span`. */
export function splineAt(
  { points, t, bends }: CubicSpline,
  span: number,
  u: number,
): { at: Vec3; curvature: number } {
  const h = t[span + 1]! - t[span]!;
  const [p, q] = [points[span]!, points[span + 1]!];
  const [a, b] = [bends[span]!, bends[span + 1]!];
  const v = 1 - u;
  const square = (h * h) / 6;
  const at = add(
    add(scale(p, v), scale(q, u)),
    add(scale(a, square * (v ** 3 - v)), scale(b, square * (u ** 3 - u))),
  );
  const first = add(
    scale(subtract(q, p), 1 / h),
    add(scale(a, (-h / 6) * (3 * v * v - 1)), scale(b, (h / 6) * (3 * u * u - 1))),
  );
  const second = add(scale(a, v), scale(b, u));
  const speed = norm(first);
  // Where the curve stands still it turns on the spot.
  const curvature = speed > 1e-9 ? norm(cross(first, second)) / speed ** 3 : Number.POSITIVE_INFINITY;
  return { at, curvature };
}
