import { type Affine, applyAffine } from '../affine.ts';
import { cross, dot, normalized, type Vec3 } from '../vector.ts';

/** From where a picture is drawn: in front, a little to the right and above, as one looks at something that stands on a table. */
const toEye = normalized([0.42, -0.8, 0.43]);
const right = normalized(cross([0, 0, 1], toEye));

/** Unit vectors of the picture's right, its upward side, and out of it toward the eye; plate axes. */
export const pictureAxes: readonly [right: Vec3, up: Vec3, toEye: Vec3] = [right, cross(toEye, right), toEye];

/** A row that gives a coordinate along an axis of the picture from a point of a mesh, and what is added to it. */
export interface AlongAxis {
  readonly row: Vec3;
  readonly offset: number;
}

/** Along each axis of the picture, for points of a mesh that `frame` brings to where it stands. */
export function alongAxes(frame: Affine | undefined): readonly [AlongAxis, AlongAxis, AlongAxis] {
  const along = (axis: Vec3): AlongAxis => {
    if (frame === undefined) return { row: axis, offset: 0 };
    const offset = dot(axis, applyAffine(frame, [0, 0, 0]));
    const of = (n: 0 | 1 | 2): number =>
      axis[0] * frame.linear[n]! + axis[1] * frame.linear[3 + n]! + axis[2] * frame.linear[6 + n]!;
    return { row: [of(0), of(1), of(2)], offset };
  };
  return [along(pictureAxes[0]), along(pictureAxes[1]), along(pictureAxes[2])];
}

export const coordinate = ({ row, offset }: AlongAxis, x: number, y: number, z: number): number =>
  row[0] * x + row[1] * y + row[2] * z + offset;
