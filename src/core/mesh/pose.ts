import { type Interrupter, portion, uninterrupted } from '../interrupter.ts';
import type { Box, Vec3 } from '../vector.ts';
import { boundsOf } from './boundsOf.ts';
import type { Mesh } from './mesh.ts';
import { rotationOf } from './rotationOf.ts';
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

const verticesPerTick = 1 << 15;

/** Places a mesh of the source frame on the plate. Computed in float64, stored in float32. */
export function poseMesh(mesh: Mesh, pose: Pose, interrupter: Interrupter = uninterrupted): PosedMesh {
  const rotation = rotationOf(pose.turn, pose.mirrored);
  const matrix = rotation.map((value) => value * pose.factor);
  const { min, max } = turnedBounds(mesh.positions, matrix, portion(interrupter, 0, 0.4));
  const shift: Vec3 =
    mesh.positions.length === 0
      ? [0, 0, pose.raise]
      : [-(min[0] + max[0]) / 2, -(min[1] + max[1]) / 2, pose.raise - min[2]];
  const positions = placedPositions(mesh.positions, matrix, shift, portion(interrupter, 0.4, 1));
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

/** Bounds of matrix · position in float64. */
function turnedBounds(source: Float32Array, m: Float64Array, interrupter: Interrupter): Box {
  const [a, b, c, d, e, f, g, h, i] = m as unknown as Matrix;
  let minX = Number.POSITIVE_INFINITY;
  let minY = Number.POSITIVE_INFINITY;
  let minZ = Number.POSITIVE_INFINITY;
  let maxX = Number.NEGATIVE_INFINITY;
  let maxY = Number.NEGATIVE_INFINITY;
  let maxZ = Number.NEGATIVE_INFINITY;
  for (let at = 0; at < source.length; at += 3) {
    if (at % (3 * verticesPerTick) === 0) interrupter(at / source.length);
    const sx = source[at]!;
    const sy = source[at + 1]!;
    const sz = source[at + 2]!;
    const x = a * sx + b * sy + c * sz;
    const y = d * sx + e * sy + f * sz;
    const z = g * sx + h * sy + i * sz;
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
    if (z < minZ) minZ = z;
    if (z > maxZ) maxZ = z;
  }
  return { min: [minX, minY, minZ], max: [maxX, maxY, maxZ] };
}

/** matrix · position + shift. */
function placedPositions(
  source: Float32Array,
  m: Float64Array,
  [shiftX, shiftY, shiftZ]: Vec3,
  interrupter: Interrupter,
): Float32Array {
  const [a, b, c, d, e, f, g, h, i] = m as unknown as Matrix;
  const placed = new Float32Array(source.length);
  for (let at = 0; at < source.length; at += 3) {
    if (at % (3 * verticesPerTick) === 0) interrupter(at / source.length);
    const x = source[at]!;
    const y = source[at + 1]!;
    const z = source[at + 2]!;
    placed[at] = a * x + b * y + c * z + shiftX;
    placed[at + 1] = d * x + e * y + f * z + shiftY;
    placed[at + 2] = g * x + h * y + i * z + shiftZ;
  }
  return placed;
}

type Matrix = [number, number, number, number, number, number, number, number, number];

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
