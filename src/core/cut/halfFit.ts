import { rotationOf } from '../mesh/rotationOf.ts';
import { type BoxFit, boxFit } from '../pose/boxFit.ts';
import { cross, type Vec3 } from '../vector.ts';

/** How a half lies on the plate; mm. */
export interface HalfFit extends Pick<BoxFit, 'fits' | 'growth'> {
  readonly turn: Vec3;
  readonly sizeMm: Vec3;
}

/**
 * The part's own turn, the same a quarter round on the plate, then quarter turns of the STL, then such as
 * lay the part's principal axes along the plate's, to whole degrees.
 */
export function turnsToTry(own: Vec3, axes: readonly Vec3[]): readonly Vec3[] {
  const all: Vec3[] = [
    own,
    [own[0], own[1], quarterMore(own[2])],
    [0, 0, 0],
    [0, 0, 90],
    [90, 0, 0],
    [90, 0, 90],
    [0, 90, 0],
    [0, 90, 90],
    ...axes.flatMap((first) => axes.filter((other) => other !== first).map((next) => turnOnto(first, next))),
  ];
  return all.filter((turn, n) => all.findIndex((other) => other.join() === turn.join()) === n);
}

/** The turn that brings one unit vector to x and another, square to it, to y; whole degrees. */
function turnOnto(toX: Vec3, toY: Vec3): Vec3 {
  const toZ = cross(toX, toY);
  // Of Rz·Ry·Rx, row by row.
  const degrees = (radians: number): number => Math.round((radians * 180) / Math.PI) + 0;
  return [
    degrees(Math.atan2(toZ[1], toZ[2])),
    degrees(Math.asin(Math.max(-1, Math.min(1, -toZ[0])))),
    degrees(Math.atan2(toY[0], toX[0])),
  ];
}

const quarterMore = (turn: number): number => (turn + 90 > 180 ? turn - 270 : turn + 90);

/** `positions` in the unit that `factor` makes mm of. */
export function fitOf(positions: Float32Array, turns: readonly Vec3[], room: Vec3, factor: number): HalfFit {
  return halfFit(boundsOfAll(positions, turns), turns, room, factor);
}

export function boundsOfAll(positions: Float32Array, turns: readonly Vec3[]): TurnedBounds {
  const bounds = turnedBounds(turns);
  for (let at = 0; at < positions.length; at += 3)
    bounds.take(positions[at]!, positions[at + 1]!, positions[at + 2]!);
  return bounds;
}

/** Reach of some points along the plate's axes, for each of some turns: low and high of x, y, z. */
export interface TurnedBounds {
  readonly bounds: readonly Float64Array[];
  take(x: number, y: number, z: number): void;
  takeAll(other: TurnedBounds): void;
}

export function turnedBounds(turns: readonly Vec3[]): TurnedBounds {
  const matrices = turns.map((turn) => rotationOf(turn));
  const bounds = turns.map(() =>
    Float64Array.of(Infinity, -Infinity, Infinity, -Infinity, Infinity, -Infinity),
  );
  return {
    bounds,
    take(x, y, z) {
      for (let n = 0; n < matrices.length; n++) {
        const m = matrices[n]!;
        const box = bounds[n]!;
        for (let axis = 0; axis < 3; axis++) {
          const along = m[3 * axis]! * x + m[3 * axis + 1]! * y + m[3 * axis + 2]! * z;
          if (along < box[2 * axis]!) box[2 * axis] = along;
          if (along > box[2 * axis + 1]!) box[2 * axis + 1] = along;
        }
      }
    },
    takeAll(other) {
      bounds.forEach((box, n) => {
        for (let at = 0; at < 6; at += 2) {
          box[at] = Math.min(box[at]!, other.bounds[n]![at]!);
          box[at + 1] = Math.max(box[at + 1]!, other.bounds[n]![at + 1]!);
        }
      });
    },
  };
}

/** The first turn in which it fits; else the one in which least is wanting. `room`: along the plate's axes, mm. */
export function halfFit(
  { bounds }: TurnedBounds,
  turns: readonly Vec3[],
  room: Vec3,
  factor: number,
): HalfFit {
  const fits = fitsOf({ bounds }, turns, room, factor);
  return fits.find((fit) => fit.fits) ?? roomiest(fits);
}

export const roomiest = (fits: readonly HalfFit[]): HalfFit =>
  fits.reduce((best, fit) => (fit.growth > best.growth ? fit : best));

/** How it lies in each of the turns. */
export function fitsOf(
  { bounds }: Pick<TurnedBounds, 'bounds'>,
  turns: readonly Vec3[],
  room: Vec3,
  factor: number,
): HalfFit[] {
  return turns.map((turn, n) => {
    const size = (axis: number) => factor * Math.max(0, bounds[n]![2 * axis + 1]! - bounds[n]![2 * axis]!);
    const sizeMm: Vec3 = [size(0), size(1), size(2)];
    const { fits, growth } = boxFit(sizeMm, room);
    return { turn, fits, growth, sizeMm };
  });
}
