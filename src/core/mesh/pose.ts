import type { Box, Vec3 } from '../vector.ts';
import { boundsOf } from './boundsOf.ts';
import type { Mesh } from './mesh.ts';
import { turnedRound } from './turnedRound.ts';

export interface Pose {
  /** Print mm per source unit. */
  readonly factor: number;
  /** Degrees about the fixed plate axes: Rz·Ry·Rx. */
  readonly turn: Vec3;
  /** mm from the plate to the lowest point. */
  readonly raise: number;
  /** Mirror the source's x before the turn. */
  readonly mirrored: boolean;
}

export interface PosedMesh {
  /** Print frame, mm: bounds centred on x = y = 0, lowest z at `raise`, counter-clockwise from outside. */
  readonly mesh: Mesh;
  /** Bounds of `mesh`. */
  readonly bounds: Box;
  toPrint(source: Vec3): Vec3;
  toSource(print: Vec3): Vec3;
  /** Turns (and mirrors) a source direction without changing its length. */
  directionToPrint(source: Vec3): Vec3;
}

/** Places a mesh of the source frame on the plate. Computed in float64, stored in float32. */
export function poseMesh(mesh: Mesh, pose: Pose): PosedMesh {
  const rotation = rotationOf(pose);
  const placed = new Float64Array(mesh.positions.length);
  const low = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  const high = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let axis = 0; axis < 3; axis++) {
    const x = rotation[3 * axis]! * pose.factor;
    const y = rotation[3 * axis + 1]! * pose.factor;
    const z = rotation[3 * axis + 2]! * pose.factor;
    for (let i = 0; i < placed.length; i += 3) {
      const value = x * mesh.positions[i]! + y * mesh.positions[i + 1]! + z * mesh.positions[i + 2]!;
      placed[i + axis] = value;
      if (value < low[axis]!) low[axis] = value;
      if (value > high[axis]!) high[axis] = value;
    }
  }
  const shift: Vec3 =
    placed.length === 0
      ? [0, 0, pose.raise]
      : [-(low[0]! + high[0]!) / 2, -(low[1]! + high[1]!) / 2, pose.raise - low[2]!];
  const positions = new Float32Array(placed.length);
  for (let i = 0; i < placed.length; i += 3) {
    positions[i] = placed[i]! + shift[0];
    positions[i + 1] = placed[i + 1]! + shift[1];
    positions[i + 2] = placed[i + 2]! + shift[2];
  }
  return {
    mesh: { positions, triangles: pose.mirrored ? turnedRound(mesh.triangles) : mesh.triangles },
    bounds: boundsOf(positions),
    toPrint: (source) => {
      const [x, y, z] = apply(rotation, source);
      return [x * pose.factor + shift[0], y * pose.factor + shift[1], z * pose.factor + shift[2]];
    },
    toSource: (print) =>
      applyTransposed(rotation, [
        (print[0] - shift[0]) / pose.factor,
        (print[1] - shift[1]) / pose.factor,
        (print[2] - shift[2]) / pose.factor,
      ]),
    directionToPrint: (source) => apply(rotation, source),
  };
}

/** Row-major Rz·Ry·Rx, times the mirror of x when asked. */
function rotationOf({ turn, mirrored }: Pose): Float64Array {
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

function apply(m: Float64Array, [x, y, z]: Vec3): Vec3 {
  return [
    m[0]! * x + m[1]! * y + m[2]! * z,
    m[3]! * x + m[4]! * y + m[5]! * z,
    m[6]! * x + m[7]! * y + m[8]! * z,
  ];
}

/** The matrix is orthogonal, mirrored or not: its transpose undoes it. */
function applyTransposed(m: Float64Array, [x, y, z]: Vec3): Vec3 {
  return [
    m[0]! * x + m[3]! * y + m[6]! * z,
    m[1]! * x + m[4]! * y + m[7]! * z,
    m[2]! * x + m[5]! * y + m[8]! * z,
  ];
}
