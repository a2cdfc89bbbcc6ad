import type { Mesh } from '../mesh/mesh.ts';
import { encodeNormal } from '../surface/octahedralNormal.ts';
import type { Vec3 } from '../vector.ts';

/**
 * How much of a surface faces which way: area vectors summed over directions that are alike to about a
 * degree, so that what overhangs in a pose is a sum over some ten thousand of them and not over all facets.
 */
export interface FacingAreas {
  /** Unit normals, three numbers each. */
  readonly normals: Float32Array;
  /** mm². */
  readonly areas: Float64Array;
}

export interface FacingSurface {
  readonly mesh: Mesh;
  /** The solid lies outside the mesh: it is a hollow's. */
  readonly inward?: boolean;
  /** Says no to facets that are left out. */
  readonly counts?: (facet: number) => boolean;
}

/** Which way solid faces, over some closed surfaces of it. */
export function facingAreas(surfaces: readonly FacingSurface[]): FacingAreas {
  const sums = new Float64Array(4 * 0x10000);
  for (const surface of surfaces) addFacets(sums, surface);
  return compact(sums);
}

function addFacets(sums: Float64Array, { mesh, inward = false, counts = () => true }: FacingSurface): void {
  const { positions: p, triangles: t } = mesh;
  const half = inward ? -0.5 : 0.5;
  for (let facet = 0; 3 * facet < t.length; facet++) {
    const [a, b, c] = [3 * t[3 * facet]!, 3 * t[3 * facet + 1]!, 3 * t[3 * facet + 2]!];
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const x = half * (uy * vz - uz * vy);
    const y = half * (uz * vx - ux * vz);
    const z = half * (ux * vy - uy * vx);
    const area = Math.sqrt(x * x + y * y + z * z);
    if (area === 0 || !counts(facet)) continue;
    const at = 4 * encodeNormal(x, y, z);
    sums[at]! += x;
    sums[at + 1]! += y;
    sums[at + 2]! += z;
    sums[at + 3]! += area;
  }
}

function compact(sums: Float64Array): FacingAreas {
  const normals: number[] = [];
  const areas: number[] = [];
  for (let at = 0; at < sums.length; at += 4) {
    const length = Math.hypot(sums[at]!, sums[at + 1]!, sums[at + 2]!);
    if (length === 0) continue;
    normals.push(sums[at]! / length, sums[at + 1]! / length, sums[at + 2]! / length);
    areas.push(sums[at + 3]!);
  }
  return { normals: Float32Array.from(normals), areas: Float64Array.from(areas) };
}

/**
 * mm² that face the plate and are flatter than what carries itself. `up` (unit) points from the plate to
 * the film in the frame of the normals; `selfSupportDeg` is the slope from the plate from which on a
 * surface carries itself.
 */
export function overhangArea(
  { normals, areas }: FacingAreas,
  [x, y, z]: Vec3,
  selfSupportDeg: number,
): number {
  const flattest = Math.cos((selfSupportDeg * Math.PI) / 180);
  let sum = 0;
  for (let n = 0; n < areas.length; n++) {
    const down = -(x * normals[3 * n]! + y * normals[3 * n + 1]! + z * normals[3 * n + 2]!);
    if (down > flattest) sum += areas[n]!;
  }
  return sum;
}
