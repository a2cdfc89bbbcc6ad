import { add, cross, dot, norm, normalized, scale, squareTo, subtract, type Vec3 } from '../vector.ts';
import type { ShowOutline } from './showOutline.ts';

/**
 * An outline as seen along its facing: a polygon in the plane across it, and how high over that plane
 * its corners lie. Lengths in the unit of the outline's frame.
 */
export interface ShowPane {
  readonly origin: Vec3;
  /** Unit vectors, right-handed: `u` and `v` span the plane, `facing` stands on it. */
  readonly u: Vec3;
  readonly v: Vec3;
  readonly facing: Vec3;
  /** Of the corners, along `u`, `v` and `facing` from the origin. */
  readonly a: Float64Array;
  readonly b: Float64Array;
  readonly height: Float64Array;
  /** Diameter of the disc of the polygon's area. */
  readonly diameter: number;
}

/** Null for an outline that holds nothing: its points lie on a line as seen along its facing. */
export function showPane({ outline, facing: told }: ShowOutline): ShowPane | null {
  const origin = scale(outline.reduce(add, [0, 0, 0]), 1 / outline.length);
  const across = told ?? doubledArea(outline, origin);
  if (!(norm(across) > 0)) return null;
  const facing = normalized(across);
  const u = squareTo(facing);
  const v = cross(facing, u);
  const along = (axis: Vec3) => Float64Array.from(outline, (point) => dot(subtract(point, origin), axis));
  const [a, b, height] = [along(u), along(v), along(facing)];
  const diameter = 2 * Math.sqrt(areaOf(a, b) / Math.PI);
  return diameter > 0 ? { origin, u, v, facing, a, b, height, diameter } : null;
}

/** Twice the area of the surfaces the closed line bounds, as a vector (Newell's method, from memory). */
function doubledArea(outline: readonly Vec3[], origin: Vec3): Vec3 {
  return outline.reduce<Vec3>(
    (sum, point, at) => {
      const next = outline[(at + 1) % outline.length]!;
      return add(sum, cross(subtract(point, origin), subtract(next, origin)));
    },
    [0, 0, 0],
  );
}

function areaOf(a: Float64Array, b: Float64Array): number {
  let doubled = 0;
  for (let at = 0, before = a.length - 1; at < a.length; before = at++) {
    doubled += a[before]! * b[at]! - a[at]! * b[before]!;
  }
  return Math.abs(doubled) / 2;
}

/** Distance of a place in the plane from the polygon's border, positive inside (even–odd rule), with the border's height there. */
export function borderAt({ a, b, height }: ShowPane, x: number, y: number): BorderPlace {
  let squared = Infinity;
  let borderHeight = 0;
  let inside = false;
  for (let at = 0, before = a.length - 1; at < a.length; before = at++) {
    const [ax, ay] = [a[before]! - x, b[before]! - y];
    const [bx, by] = [a[at]! - x, b[at]! - y];
    const [dx, dy] = [bx - ax, by - ay];
    const length2 = dx * dx + dy * dy;
    const share = length2 > 0 ? Math.min(1, Math.max(0, -(ax * dx + ay * dy) / length2)) : 0;
    const apart2 = (ax + share * dx) ** 2 + (ay + share * dy) ** 2;
    if (apart2 < squared) {
      squared = apart2;
      borderHeight = height[before]! + share * (height[at]! - height[before]!);
    }
    if (ay > 0 !== by > 0 && ax * dy > ay * dx === dy > 0) inside = !inside;
  }
  const distance = Math.sqrt(squared);
  return { distance: inside ? distance : -distance, height: borderHeight };
}

export interface BorderPlace {
  readonly distance: number;
  readonly height: number;
}

/**
 * Height over the plane of the lid that is spanned into the outline: the heights of its corners by mean
 * value coordinates, which hold for any simple polygon (Hormann & Floater, “Mean value coordinates for
 * arbitrary planar polygons”, ACM Trans. Graph. 25(4), 2006, from memory). On and outside of the border
 * the height of the nearest place on it.
 */
export function lidHeight(pane: ShowPane, x: number, y: number): number {
  const border = borderAt(pane, x, y);
  if (!(border.distance > 1e-9 * pane.diameter)) return border.height;
  const { a, b, height } = pane;
  const count = a.length;
  let weights = 0;
  let sum = 0;
  let tanBefore = halfTangent(pane, count - 1, 0, x, y);
  for (let at = 0; at < count; at++) {
    const tan = halfTangent(pane, at, (at + 1) % count, x, y);
    const weight = (tanBefore + tan) / Math.hypot(a[at]! - x, b[at]! - y);
    weights += weight;
    sum += weight * height[at]!;
    tanBefore = tan;
  }
  return sum / weights;
}

/** Tangent of half the angle under which an edge is seen, signed by the way round. */
function halfTangent({ a, b }: ShowPane, from: number, to: number, x: number, y: number): number {
  const [ax, ay] = [a[from]! - x, b[from]! - y];
  const [bx, by] = [a[to]! - x, b[to]! - y];
  const area = ax * by - ay * bx;
  const alike = ax * bx + ay * by;
  const lengths = Math.hypot(ax, ay) * Math.hypot(bx, by);
  // The form without a difference of nearly equal numbers.
  return alike > 0 ? area / (lengths + alike) : area === 0 ? 0 : (lengths - alike) / area;
}
