import type { Mesh } from '../mesh/mesh.ts';
import { add, cross, dot, normalized, scale, type Vec3 } from '../vector.ts';
import type { PlacedOpening } from './opening.ts';

/** A facet's chord stays within this of the round hole, mm. */
const CHORD_ERROR_MM = 0.01;
const FEWEST_SIDES = 24;
const MOST_SIDES = 192;

/**
 * The body that an opening takes out of the part: a closed, outward prism from `outward` before the
 * mouth to `depth` behind it. Its regular polygon has the area of the round hole, so the volume is
 * the cylinder's exactly. Frame and unit of the opening (print, mm).
 */
export function cutterMesh(opening: PlacedOpening): Mesh {
  const { mouth, axis, radius, depth, outward } = opening;
  const sides = sidesFor(radius);
  const turn = (2 * Math.PI) / sides;
  const cornerRadius = radius * Math.sqrt(turn / Math.sin(turn));
  const [u, v] = basisAcross(axis);
  const positions = new Float32Array(6 * sides);
  for (let n = 0; n < sides; n++) {
    const radial = add(
      scale(u, cornerRadius * Math.cos(n * turn)),
      scale(v, cornerRadius * Math.sin(n * turn)),
    );
    positions.set(add(add(mouth, radial), scale(axis, -outward)), 3 * n);
    positions.set(add(add(mouth, radial), scale(axis, depth)), 3 * (sides + n));
  }
  return { positions, triangles: prismTriangles(sides) };
}

function sidesFor(radius: number): number {
  const sides = Math.ceil(Math.PI / Math.acos(Math.max(0, 1 - CHORD_ERROR_MM / radius)));
  return Math.min(MOST_SIDES, Math.max(FEWEST_SIDES, sides));
}

/** Two unit vectors that with the unit `axis` make a right-handed frame. */
export function basisAcross(axis: Vec3): [Vec3, Vec3] {
  const least = Math.abs(axis[0]) < 0.6 ? ([1, 0, 0] as const) : ([0, 1, 0] as const);
  const u = normalized(add(least, scale(axis, -dot(least, axis))));
  return [u, cross(axis, u)];
}

/** Ring 0…n−1 at the mouth, n…2n−1 at the bottom, counter-clockwise about the axis. */
function prismTriangles(sides: number): Uint32Array {
  const triangles: number[] = [];
  for (let n = 0; n < sides; n++) {
    const next = (n + 1) % sides;
    triangles.push(n, next, sides + next, n, sides + next, sides + n);
    if (n > 0 && n + 1 < sides) triangles.push(0, n + 1, n, sides, sides + n, sides + n + 1);
  }
  return Uint32Array.from(triangles);
}
