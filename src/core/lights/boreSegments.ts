import type { PlacedOpening } from '../openings/opening.ts';
import { dot, norm, scale, subtract, type Vec3 } from '../vector.ts';

/**
 * A chain as short cylinders, each reaching over its ends by what the bend there opens on the outside, so that
 * together they are the mitred tube. As openings are cut from layers; frame of the points, mm.
 */
export function boreSegments(points: readonly Vec3[], radius: number, id: string): PlacedOpening[] {
  const ways = points.slice(1).map((point, n) => subtract(point, points[n]!));
  const axes = ways.map((way) => scale(way, 1 / norm(way)));
  const over = points.map((_, n) =>
    n === 0 || n === points.length - 1 ? 0 : radius * halfTurn(axes[n - 1]!, axes[n]!),
  );
  return axes.map((axis, n) => ({
    id,
    kind: 'tube',
    mouth: points[n]!,
    axis,
    radius,
    depth: norm(ways[n]!) + over[n + 1]!,
    outward: over[n]!,
  }));
}

/** Tangent of half the angle between two unit vectors, 1 at most: a bend beyond that is refused elsewhere. */
function halfTurn(a: Vec3, b: Vec3): number {
  const cosine = Math.min(1, Math.max(-1, dot(a, b)));
  return Math.min(1, Math.sqrt((1 - cosine) / (1 + cosine + 1e-12)));
}
