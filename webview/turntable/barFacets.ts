import { cross, normalized, squareTo, subtract, type Vec3 } from '../../src/core/vector.ts';

const SIDES = 10;

/** Loose facets: positions and normals x,y,z per corner, print frame. */
export interface BarFacets {
  readonly positions: Float32Array;
  readonly normals: Float32Array;
}

/** The sides and ends of round bars; `bars` as `PartView` has them. */
export function barFacets(bars: Float32Array): BarFacets {
  const count = bars.length / 8;
  // Two facets a side, and one a side for each end.
  const corners = count * SIDES * 12;
  const positions = new Float32Array(3 * corners);
  const normals = new Float32Array(3 * corners);
  let at = 0;
  const put = (point: Vec3, normal: Vec3): void => {
    positions.set(point, at);
    normals.set(normal, at);
    at += 3;
  };
  for (let bar = 0; bar < count; bar++) addBar(bars.subarray(8 * bar, 8 * bar + 8), put);
  return { positions: positions.subarray(0, at), normals: normals.subarray(0, at) };
}

function addBar(bar: Float32Array, put: (point: Vec3, normal: Vec3) => void): void {
  const from: Vec3 = [bar[0]!, bar[1]!, bar[2]!];
  const to: Vec3 = [bar[3]!, bar[4]!, bar[5]!];
  const way = subtract(to, from);
  if (way.every((c) => c === 0)) return;
  const axis = normalized(way);
  const back: Vec3 = [-axis[0], -axis[1], -axis[2]];
  const u = squareTo(axis);
  const v = cross(axis, u);
  const outward = (n: number): Vec3 => {
    const angle = (2 * Math.PI * n) / SIDES;
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    return [c * u[0] + s * v[0], c * u[1] + s * v[1], c * u[2] + s * v[2]];
  };
  const rim = (middle: Vec3, radius: number, out: Vec3): Vec3 => [
    middle[0] + radius * out[0],
    middle[1] + radius * out[1],
    middle[2] + radius * out[2],
  ];
  for (let n = 0; n < SIDES; n++) {
    const [out, next] = [outward(n), outward(n + 1)];
    const [a, b] = [rim(from, bar[6]!, out), rim(from, bar[6]!, next)];
    const [c, d] = [rim(to, bar[7]!, next), rim(to, bar[7]!, out)];
    for (const [point, normal] of [
      [a, out],
      [b, next],
      [c, next],
      [a, out],
      [c, next],
      [d, out],
      [from, back],
      [b, back],
      [a, back],
      [to, axis],
      [d, axis],
      [c, axis],
    ] as const)
      put(point, normal);
  }
}
