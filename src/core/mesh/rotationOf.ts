import type { Vec3 } from '../vector.ts';

/**
 * Row-major Rz·Ry·Rx about the fixed plate axes, degrees, after the mirror of x when asked. Exact at
 * multiples of 90°.
 */
export function rotationOf(turn: Vec3, mirrored = false): Float64Array {
  const [sx, cx] = sineAndCosine(turn[0]);
  const [sy, cy] = sineAndCosine(turn[1]);
  const [sz, cz] = sineAndCosine(turn[2]);
  const m = mirrored ? -1 : 1;
  // biome-ignore format: rows of the matrix
  return Float64Array.of(
    m * cz * cy, cz * sy * sx - sz * cx, cz * sy * cx + sz * sx,
    m * sz * cy, sz * sy * sx + cz * cx, sz * sy * cx - cz * sx,
    m * -sy, cy * sx, cy * cx,
  );
}

/** Exact at multiples of 90°, so that a part turned upright keeps its flat faces flat. */
function sineAndCosine(degrees: number): [number, number] {
  const turn = ((degrees % 360) + 360) % 360;
  if (turn % 90 === 0) return [[0, 1, 0, -1][turn / 90]!, [1, 0, -1, 0][turn / 90]!];
  const radians = (turn * Math.PI) / 180;
  return [Math.sin(radians), Math.cos(radians)];
}
