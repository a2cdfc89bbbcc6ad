import type { Mesh } from '../core/mesh/mesh.ts';
import { cross, dot, norm, normalized, subtract, type Vec3 } from '../core/vector.ts';

/** A convex solid as the half-spaces n·p ≤ d that it is the common part of. Frame of its mesh, mm. */
export interface ConvexBody {
  /** Unit normal and d, four numbers a half-space. */
  readonly planes: Float64Array;
  readonly min: readonly number[];
  readonly max: readonly number[];
  /** Mean of the corners, which lies inside. */
  readonly middle: Vec3;
  /** Normal of the side that most facets make: of a prism, the direction it runs in. */
  readonly axis: Vec3;
}

/** How far a corner may stand out of a half-space by rounding of its coordinates, mm. */
const roundingMm = 1e-3;
/** Cosine between facets that may be of one side: 8°, a sliver's tilt by rounding. Those of a round bore turn by 15° at its fewest sides and 2° at its most. */
const SAME_SIDE = 0.99;

/** Null when the mesh (closed, outward) is not convex. */
export function convexBody({ positions, triangles }: Mesh): ConvexBody | null {
  const sides = sidesOf(positions, triangles);
  if (sides.length === 0) return null;
  const planes = Float64Array.from(sides.flatMap(({ unit, d }) => [...unit, d]));
  const min = [Infinity, Infinity, Infinity];
  const max = [-Infinity, -Infinity, -Infinity];
  const sum = [0, 0, 0];
  for (let at = 0; at < positions.length; at += 3) {
    for (let plane = 0; plane < planes.length; plane += 4) {
      if (beyond(planes, plane, positions, at) > roundingMm) return null;
    }
    for (let axis = 0; axis < 3; axis++) {
      const value = positions[at + axis]!;
      min[axis] = Math.min(min[axis]!, value);
      max[axis] = Math.max(max[axis]!, value);
      sum[axis]! += (3 * value) / positions.length;
    }
  }
  const { unit } = sides.reduce((most, side) => (side.facets > most.facets ? side : most));
  const middle: Vec3 = [sum[0]!, sum[1]!, sum[2]!];
  return { planes, min, max, middle, axis: unit };
}

/** Whether the point at `at` of `p` lies in the body, give or take the rounding of its coordinates. */
export function standsWithin({ planes }: ConvexBody, p: ArrayLike<number>, at: number): boolean {
  for (let plane = 0; plane < planes.length; plane += 4) {
    if (beyond(planes, plane, p, at) > roundingMm) return false;
  }
  return true;
}

const beyond = (planes: Float64Array, plane: number, p: ArrayLike<number>, at: number): number =>
  planes[plane]! * p[at]! +
  planes[plane + 1]! * p[at + 1]! +
  planes[plane + 2]! * p[at + 2]! -
  planes[plane + 3]!;

interface Side {
  readonly unit: Vec3;
  d: number;
  facets: number;
}

/**
 * One for all facets of (nearly) one plane, as far out as the outermost of their corners. The largest facet tells
 * where the plane lies: rounding of its corners tilts a sliver by more than the side is allowed to stand out.
 */
function sidesOf(p: Float32Array, triangles: Uint32Array): Side[] {
  const sides: Side[] = [];
  for (const { corners, unit } of facetsBySize(p, triangles)) {
    const side = sides.find(
      (one) =>
        dot(one.unit, unit) > SAME_SIDE &&
        corners.every((corner) => Math.abs(dot(one.unit, corner) - one.d) <= roundingMm / 2),
    );
    const far = (towards: Vec3): number => Math.max(...corners.map((corner) => dot(towards, corner)));
    if (side === undefined) sides.push({ unit, d: far(unit), facets: 1 });
    else {
      side.d = Math.max(side.d, far(side.unit));
      side.facets++;
    }
  }
  return sides;
}

function facetsBySize(p: Float32Array, triangles: Uint32Array) {
  const facets: { corners: readonly [Vec3, Vec3, Vec3]; unit: Vec3; size: number }[] = [];
  for (let at = 0; at < triangles.length; at += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => cornerOf(p, triangles[at + k]!)) as [Vec3, Vec3, Vec3];
    const normal = cross(subtract(b, a), subtract(c, a));
    const size = norm(normal);
    if (size > 0) facets.push({ corners: [a, b, c], unit: normalized(normal), size });
  }
  return facets.sort((a, b) => b.size - a.size);
}

const cornerOf = (p: Float32Array, vertex: number): Vec3 => [
  p[3 * vertex]!,
  p[3 * vertex + 1]!,
  p[3 * vertex + 2]!,
];

/** A triangle cut by n half-spaces has at most 3 + n corners. */
export const scratchFor = (bodies: readonly ConvexBody[]): [Float64Array, Float64Array] => {
  const most = 3 * (3 + Math.max(0, ...bodies.map(({ planes }) => planes.length / 4)));
  return [new Float64Array(most), new Float64Array(most)];
};

/**
 * Whether the triangle with corners at `a`, `b`, `c` of `p` comes within the body grown by `margin`
 * on every side (mm): cut down to the half-spaces (Sutherland & Hodgman 1974), something is left.
 */
export function triangleMeets(
  { planes, min, max }: ConvexBody,
  margin: number,
  p: ArrayLike<number>,
  a: number,
  b: number,
  c: number,
  scratch: [Float64Array, Float64Array],
): boolean {
  for (let axis = 0; axis < 3; axis++) {
    const x = p[a + axis]!;
    const y = p[b + axis]!;
    const z = p[c + axis]!;
    if (Math.max(x, y, z) < min[axis]! - margin || Math.min(x, y, z) > max[axis]! + margin) return false;
  }
  let [points, other] = scratch;
  for (let axis = 0; axis < 3; axis++) {
    points[axis] = p[a + axis]!;
    points[3 + axis] = p[b + axis]!;
    points[6 + axis] = p[c + axis]!;
  }
  let length = 9;
  for (let plane = 0; plane < planes.length; plane += 4) {
    let kept = 0;
    for (let at = 0; at < length; at += 3) {
      const next = at + 3 < length ? at + 3 : 0;
      const over = beyond(planes, plane, points, at) - margin;
      const overNext = beyond(planes, plane, points, next) - margin;
      if (over <= 0) {
        for (let axis = 0; axis < 3; axis++) other[kept++] = points[at + axis]!;
      }
      if (over <= 0 !== overNext <= 0) {
        const t = over / (over - overNext);
        for (let axis = 0; axis < 3; axis++) {
          other[kept++] = points[at + axis]! + t * (points[next + axis]! - points[at + axis]!);
        }
      }
    }
    if (kept === 0) return false;
    [points, other] = [other, points];
    length = kept;
  }
  return true;
}
