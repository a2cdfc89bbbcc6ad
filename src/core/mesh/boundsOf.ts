import type { Box } from '../vector.ts';

/** Axis-aligned bounds of x,y,z triples; an empty array gives a point at the origin. */
export function boundsOf(positions: Float32Array): Box {
  if (positions.length === 0) return { min: [0, 0, 0], max: [0, 0, 0] };
  let minX = Number.POSITIVE_INFINITY;
  let minY = Number.POSITIVE_INFINITY;
  let minZ = Number.POSITIVE_INFINITY;
  let maxX = Number.NEGATIVE_INFINITY;
  let maxY = Number.NEGATIVE_INFINITY;
  let maxZ = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < positions.length; i += 3) {
    const x = positions[i]!;
    const y = positions[i + 1]!;
    const z = positions[i + 2]!;
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
    if (z < minZ) minZ = z;
    if (z > maxZ) maxZ = z;
  }
  return { min: [minX, minY, minZ], max: [maxX, maxY, maxZ] };
}

/** Length of the space diagonal of the bounds of x,y,z triples. */
export function diagonalOf(positions: Float32Array): number {
  const { min, max } = boundsOf(positions);
  return Math.hypot(max[0] - min[0], max[1] - min[1], max[2] - min[2]);
}
