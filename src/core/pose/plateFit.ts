import type { Vec3 } from '../vector.ts';
import { type BoxFit, boxFit } from './boxFit.ts';
import { footprintHull } from './footprintHull.ts';

/** How a part lies on the plate, turned about the plate's z for it. */
export interface PlateFit extends BoxFit {
  /** Degrees about z; of those that are sought whole ones, 0 to 179: a bounding box is the same half a turn on. */
  readonly turnZ: number;
  /** Bounding box as turned, mm. */
  readonly sizeMm: Vec3;
}

const HALF_TURN = 180;

/**
 * Fits a footprint into a rectangle. `points` are x, y, z of points whose hull is the part's, mm, z in the
 * direction of building; `room` is what the machine has along x, y and z, margins and raise taken off.
 *
 * As it stands or a quarter turned, when that fits; else by as few degrees as fit; else as fits best.
 * `asTurned`: by these degrees and no others.
 */
export function plateFit(points: Float64Array, room: Vec3, asTurned: number | null = null): PlateFit {
  const hull = footprintHull(points);
  const heightMm = extent(points, 0, 0, 1);
  const at = (degrees: number): PlateFit => {
    const [cos, sin] = cosineAndSine(degrees);
    const sizeMm: Vec3 = [widthOf(hull, cos, -sin), widthOf(hull, sin, cos), heightMm];
    return { turnZ: degrees, ...boxFit(sizeMm, room), sizeMm };
  };
  if (asTurned !== null) return at(asTurned);
  let best: PlateFit | null = null;
  for (const degrees of order) {
    const fit = at(degrees);
    if (fit.fits) return fit;
    if (best === null || fit.growth > best.growth) best = fit;
  }
  return best!;
}

/** 0 and 90 first, then the others from small turns up. */
const order = [0, 90, ...Array.from({ length: HALF_TURN }, (_, n) => n).filter((n) => n !== 0 && n !== 90)];

function cosineAndSine(degrees: number): readonly [number, number] {
  if (degrees === 0) return [1, 0];
  if (degrees === 90) return [0, 1];
  const turn = (degrees * Math.PI) / 180;
  return [Math.cos(turn), Math.sin(turn)];
}

function extent(points: Float64Array, x: number, y: number, z: number): number {
  let low = Infinity;
  let high = -Infinity;
  for (let at = 0; at < points.length; at += 3) {
    const along = x * points[at]! + y * points[at + 1]! + z * points[at + 2]!;
    if (along < low) low = along;
    if (along > high) high = along;
  }
  return Math.max(0, high - low);
}

function widthOf(hull: readonly (readonly [number, number])[], x: number, y: number): number {
  let low = Infinity;
  let high = -Infinity;
  for (const corner of hull) {
    const along = x * corner[0] + y * corner[1];
    if (along < low) low = along;
    if (along > high) high = along;
  }
  return high - low;
}
