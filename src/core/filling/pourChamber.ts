import { addTetrahedron } from '../mesh/addTetrahedron.ts';
import type { Mesh } from '../mesh/mesh.ts';
import type { Vec3 } from '../vector.ts';

/** mm³ and mm, in the frame of the mesh. */
export interface Poured {
  readonly volumeMm3: number;
  readonly centroid: Vec3;
}

/** Halvings of the height: a chamber of 300 mm is met to the micrometre. */
const STEPS = 40;

/**
 * What lies in the lowest `level` (0 … 1) of a chamber's volume, z up: the level of a liquid is found by
 * halving, the volume under it by the divergence theorem about a point of the level itself, so that the
 * open surface adds nothing. `facets` are those of one chamber, closed and outward.
 */
export function pourChamber(mesh: Mesh, facets: Uint32Array, level: number): Poured {
  const [bottom, top] = heights(mesh, facets);
  const wanted = level * under(mesh, facets, top).volumeMm3;
  let [low, high] = [bottom, top];
  for (let step = 0; step < STEPS && level < 1; step++) {
    const middle = (low + high) / 2;
    if (under(mesh, facets, middle).volumeMm3 < wanted) low = middle;
    else high = middle;
  }
  return under(mesh, facets, high);
}

function heights({ positions, triangles }: Mesh, facets: Uint32Array): [number, number] {
  let low = Infinity;
  let high = -Infinity;
  for (const facet of facets) {
    for (let corner = 3 * facet; corner < 3 * facet + 3; corner++) {
      const z = positions[3 * triangles[corner]! + 2]!;
      low = Math.min(low, z);
      high = Math.max(high, z);
    }
  }
  return [low, high];
}

/** Volume and centroid of what lies under a level. */
function under({ positions, triangles }: Mesh, facets: Uint32Array, level: number): Poured {
  const sums = new Float64Array(4);
  const corners = new Float64Array(9);
  const polygon = new Float64Array(12);
  const origin = 3 * triangles[3 * facets[0]!]!;
  const [ox, oy] = [positions[origin]!, positions[origin + 1]!];
  for (const facet of facets) {
    for (let corner = 0; corner < 3; corner++) {
      const at = 3 * triangles[3 * facet + corner]!;
      corners[3 * corner] = positions[at]! - ox;
      corners[3 * corner + 1] = positions[at + 1]! - oy;
      corners[3 * corner + 2] = positions[at + 2]! - level;
    }
    const count = clipBelow(corners, polygon);
    for (let n = 1; n + 1 < count; n++) addTetrahedron(polygon, 0, 3 * n, 3 * n + 3, sums, 0);
  }
  const [volume, x, y, z] = sums as unknown as [number, number, number, number];
  if (!(volume > 0)) return { volumeMm3: 0, centroid: [ox, oy, level] };
  return { volumeMm3: volume, centroid: [ox + x / volume, oy + y / volume, level + z / volume] };
}

/** The part of a triangle with z ≤ 0, up to four corners. Sutherland & Hodgman 1974. */
function clipBelow(corners: Float64Array, polygon: Float64Array): number {
  let count = 0;
  for (let n = 0; n < 3; n++) {
    const a = 3 * n;
    const b = 3 * ((n + 1) % 3);
    const [za, zb] = [corners[a + 2]!, corners[b + 2]!];
    if (za <= 0) {
      for (let axis = 0; axis < 3; axis++) polygon[3 * count + axis] = corners[a + axis]!;
      count++;
    }
    if (za <= 0 === zb <= 0) continue;
    const t = za / (za - zb);
    for (let axis = 0; axis < 3; axis++) {
      polygon[3 * count + axis] = corners[a + axis]! + t * (corners[b + axis]! - corners[a + axis]!);
    }
    count++;
  }
  return count;
}
