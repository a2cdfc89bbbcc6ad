import type { Mesh } from '../mesh/mesh.ts';
import { cross, norm, subtract, type Vec3 } from '../vector.ts';
import type { Poured } from './pourChamber.ts';

/**
 * What a thin coat on a chamber's wall takes: area × thickness, never more than the chamber, with the
 * centroid of the wall. First order in thickness over radius: too much by about that share where the wall
 * is round (a sphere of radius r: 1 − t/r + t²/3r² of it). `facets` are those of one chamber.
 */
export function coatChamber(
  mesh: Mesh,
  facets: Uint32Array,
  thicknessMm: number,
  chamberMm3: number,
): Poured {
  const { positions, triangles } = mesh;
  const corner = (at: number): Vec3 => {
    const start = 3 * triangles[at]!;
    return [positions[start]!, positions[start + 1]!, positions[start + 2]!];
  };
  let area = 0;
  const moment = new Float64Array(3);
  for (const facet of facets) {
    const [a, b, c] = [corner(3 * facet), corner(3 * facet + 1), corner(3 * facet + 2)];
    const own = norm(cross(subtract(b, a), subtract(c, a))) / 2;
    area += own;
    for (let axis = 0; axis < 3; axis++) moment[axis]! += (own * (a[axis]! + b[axis]! + c[axis]!)) / 3;
  }
  return {
    volumeMm3: Math.min(area * thicknessMm, chamberMm3),
    centroid: [moment[0]! / area, moment[1]! / area, moment[2]! / area],
  };
}
