import { add, dot, scale, subtract, type Vec3 } from './vector.ts';

/** The points of two straight pieces that lie nearest each other. */
export interface NearestPoints {
  readonly onFirst: Vec3;
  readonly onSecond: Vec3;
}

const within = (share: number): number => Math.min(1, Math.max(0, share));

/** Nearest points of the pieces from `a` to `b` and from `c` to `d`, either of which may be a point. Source: Ericson 2005, Real-Time Collision Detection, 5.1.9. */
export function segmentsApart(a: Vec3, b: Vec3, c: Vec3, d: Vec3): NearestPoints {
  const [first, second, between] = [subtract(b, a), subtract(d, c), subtract(a, c)];
  const [aa, ee, f] = [dot(first, first), dot(second, second), dot(second, between)];
  const [g, h] = [dot(first, between), dot(first, second)];
  const slant = aa * ee - h * h;
  // Of parallel pieces any point of the first will do to start from.
  let s = aa > 0 && slant > 0 ? within((h * f - g * ee) / slant) : 0;
  let t = ee > 0 ? (h * s + f) / ee : 0;
  if (t < 0 || t > 1 || ee === 0) {
    t = within(t);
    s = aa > 0 ? within((h * t - g) / aa) : 0;
  }
  return { onFirst: add(a, scale(first, s)), onSecond: add(c, scale(second, t)) };
}
