import type { Vec3 } from '../vector.ts';
import { type BoxFit, boxFit } from './boxFit.ts';
import { footprintHull } from './footprintHull.ts';

/** How a part lies on the plate, turned about the plate's z for it. */
export interface PlateFit extends BoxFit {
  /** Degrees about z; of those that are sought whole ones, 0 to 179: a bounding box is the same half a turn on. */
  readonly turnZ: number;
  /** Bounding box as turned, mm. */
  readonly sizeMm: Vec3;
  /** Whether the part by itself fits, without those feet. */
  readonly fitsBare: boolean;
  /** What it takes of the plate along x and y with the feet of what holds it, its own middle on the plate's, mm. */
  readonly heldMm: readonly [x: number, y: number];
}

/** What is held from below, x, y, z each, and how far from there the foot that holds it reaches, mm. */
export interface HeldPoints {
  readonly points: Float64Array;
  readonly reachMm: number;
}

const HALF_TURN = 180;

/**
 * Fits a footprint into a rectangle. `points` are x, y, z of points whose hull is the part's, mm, z in the
 * direction of building; `room` is what the machine has along x, y and z, margins and raise taken off.
 *
 * As it stands or a quarter turned, when that fits; else by as few degrees as fit; else as fits best.
 * `asTurned`: by these degrees and no others. The part stands in the middle of the room, and a foot straight
 * under each of the `held` points stays in it too.
 */
export function plateFit(
  points: Float64Array,
  room: Vec3,
  asTurned: number | null = null,
  held: HeldPoints | null = null,
): PlateFit {
  // A single direction is as soon looked through as a hull is made.
  const outermost = (of: Float64Array): Float64Array => (asTurned === null ? hullOf(of) : of);
  const hull = outermost(points);
  const heldHull = held === null ? new Float64Array(0) : outermost(held.points);
  const reachMm = heldHull.length === 0 ? 0 : held!.reachMm;
  const heightMm = extent(points, 0, 0, 1);
  const feetRoom: Vec3 = [room[0] - 2 * reachMm, room[1] - 2 * reachMm, room[2]];
  const at = (degrees: number): PlateFit => {
    const [cos, sin] = cosineAndSine(degrees);
    const along = (x: number, y: number): readonly [width: number, feet: number] => {
      const [low, high] = spanOf(hull, x, y);
      const middle = (low + high) / 2;
      const [first, last] = spanOf(heldHull, x, y);
      return [high - low, 2 * Math.max(0, middle - first, last - middle)];
    };
    const [[width, feetWidth], [depth, feetDepth]] = [along(cos, -sin), along(sin, cos)];
    const sizeMm: Vec3 = [width, depth, heightMm];
    const own = boxFit(sizeMm, room);
    const feet = boxFit([feetWidth, feetDepth, heightMm], feetRoom);
    const { growth, short } = feet.growth < own.growth ? feet : own;
    const withFeet = (size: number, feetSize: number): number =>
      heldHull.length === 0 ? size : Math.max(size, feetSize + 2 * reachMm);
    const heldMm = [withFeet(width, feetWidth), withFeet(depth, feetDepth)] as const;
    return { turnZ: degrees, fits: own.fits && feet.fits, fitsBare: own.fits, growth, short, sizeMm, heldMm };
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

/** Corners of the hull along the plate, three numbers each as the points have. */
const hullOf = (points: Float64Array): Float64Array =>
  Float64Array.from(footprintHull(points).flatMap(([x, y]) => [x, y, 0]));

function spanOf(points: Float64Array, x: number, y: number): readonly [low: number, high: number] {
  let low = Infinity;
  let high = -Infinity;
  for (let at = 0; at < points.length; at += 3) {
    const along = x * points[at]! + y * points[at + 1]!;
    if (along < low) low = along;
    if (along > high) high = along;
  }
  return [low, high];
}
