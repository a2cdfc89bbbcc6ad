import { cross, dot, normalized, squareTo, subtract, type Vec3 } from '../vector.ts';

/** A plane with a right-handed frame: `u` and `v` span it, `normal` stands on it. Unit vectors, the frame of its mesh. */
export interface CutPlane {
  readonly origin: Vec3;
  readonly u: Vec3;
  readonly v: Vec3;
  readonly normal: Vec3;
}

/** `toward`: any length but 0. */
export function cutPlane(at: Vec3, toward: Vec3): CutPlane {
  // Of a very short or long vector the squares would be lost.
  const most = Math.max(...toward.map(Math.abs));
  const normal = normalized([toward[0] / most, toward[1] / most, toward[2] / most]);
  const u = squareTo(normal);
  return { origin: at, u, v: cross(normal, u), normal };
}

/** Along `u`, `v` and `normal` from the origin. */
export function inPlane({ origin, u, v, normal }: CutPlane, point: Vec3): Vec3 {
  const from = subtract(point, origin);
  return [dot(from, u), dot(from, v), dot(from, normal)];
}

/** The point so far along `u`, `v` and `normal` from the origin. */
export function fromPlane({ origin, u, v, normal }: CutPlane, x: number, y: number, height = 0): Vec3 {
  const at = (axis: 0 | 1 | 2) => origin[axis] + x * u[axis] + y * v[axis] + height * normal[axis];
  return [at(0), at(1), at(2)];
}

/** Signed heights of all vertices over the plane, in the unit of the mesh. */
export function heightsOver({ origin, normal }: CutPlane, positions: Float32Array): Float64Array {
  const heights = new Float64Array(positions.length / 3);
  const [nx, ny, nz] = normal;
  const [ox, oy, oz] = origin;
  for (let v = 0; v < heights.length; v++) {
    const at = 3 * v;
    heights[v] = (positions[at]! - ox) * nx + (positions[at + 1]! - oy) * ny + (positions[at + 2]! - oz) * nz;
  }
  return heights;
}
