import { type Interrupter, portion, uninterrupted } from '../interrupter.ts';
import { boundsOf } from '../mesh/boundsOf.ts';
import { massProperties } from '../mesh/massProperties.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { rotationOf } from '../mesh/rotationOf.ts';
import { facetNormal } from '../openings/boreView.ts';
import type { ShowSide } from '../showSide/showSide.ts';
import { add, dot, scale, type Vec3 } from '../vector.ts';
import { type CutPlane, cutPlane, fromPlane, heightsOver } from './cutPlane.ts';
import { type HalfFit, halfFit, type TurnedBounds, turnedBounds, turnsToTry } from './halfFit.ts';
import { type LightCut, lightsCut, SHALLOW_DEG, type TubeToCut } from './lightsCut.ts';
import { type PlaneSection, planeSection } from './planeSection.ts';

/** A part that is to be cut so that its halves fit. The mesh in source coordinates. */
export interface SplitSubject {
  readonly mesh: Mesh;
  /** Its `principalAxes`. */
  readonly axes: readonly Vec3[];
  /** Print mm per source unit. */
  readonly factor: number;
  readonly turn: Vec3;
  /** What the machine has along x, y and z, mm; margins and raise taken off. */
  readonly room: Vec3;
  /** Source coordinates; null where nothing is marked. */
  readonly show: ShowSide | null;
  /** How far plugs stand out of the back half, mm. */
  readonly plugMm: number;
  readonly tubes: readonly TubeToCut[];
}

/** A plane that was compared. */
export interface SplitPlane {
  /** Source coordinates: a point of the plane in the midst of the section, and its unit normal. */
  readonly at: Vec3;
  readonly toward: Vec3;
  readonly areaMm2: number;
  /** Length of the seam, and how much of it runs over the show side, mm. */
  readonly rimMm: number;
  readonly shownMm: number;
  /** Of the smaller half, about; 0 to ½. */
  readonly smallerShare: number;
  /** Tubes of lights that it cuts. */
  readonly lights: readonly LightCut[];
  readonly back: HalfFit;
  readonly front: HalfFit;
  readonly fits: boolean;
  /** The less, the better; comparable among the planes of one search. */
  readonly cost: number;
}

export interface SplitSearch {
  /** The best of each direction; those where both halves fit first, then by cost. */
  readonly best: readonly SplitPlane[];
  readonly compared: number;
}

/**
 * What weighs: the section against the mean one across the part, the share of the seam that is seen, how uneven the
 * halves are, each half that must be tilted otherwise than the part is, and each light that it runs along: as bad as
 * a seam that is seen all round. Engineering choice.
 */
const WEIGHTS = { area: 1, shown: 3, uneven: 1, tilted: 0.5, alongLight: 3 };
const POSITIONS = 30;
/** Finer positions round the best of a direction, in parts of the step between two. */
const FINER = [-0.75, -0.5, -0.25, 0.25, 0.5, 0.75];
/** Directions nearer to each other than this (cosine) are one: 2°. */
const SAME_DIRECTION = 0.9994;
/** Pieces of the seam that are looked at for the show side. */
const MOST_LOOKED_AT = 400;

/**
 * Compares planes across the STL's axes, the plate's and the part's principal ones. Each half may be
 * turned as the part is, by quarter turns, or with the part's principal axes along the plate's. Bounds
 * of halves are exact but for plugs, which are taken to stand anywhere in the section.
 */
export function searchSplits(subject: SplitSubject, interrupter: Interrupter): SplitSearch {
  const usualArea = usualAreaOf(subject);
  const directions = directionsOf(subject);
  let compared = 0;
  const best = directions.flatMap((direction, n) => {
    const share = portion(interrupter, n / directions.length, (n + 1) / directions.length);
    const planes = across({ ...subject, usualArea }, direction, share);
    compared += planes.length;
    return planes.length === 0 ? [] : [planes.reduce(better)];
  });
  return { best: best.sort(byWorth), compared };
}

/** Less than 0 when `a` is the better one. */
function byWorth(a: SplitPlane, b: SplitPlane): number {
  if (a.fits !== b.fits) return a.fits ? -1 : 1;
  return a.fits ? a.cost - b.cost : wanting(a) - wanting(b);
}

const better = (a: SplitPlane, b: SplitPlane): SplitPlane => (byWorth(b, a) < 0 ? b : a);

/** How much too large the larger half is. */
const wanting = ({ back, front }: SplitPlane): number => -Math.min(back.growth, front.growth);

/** With the mean section across its first principal axis, print mm². */
type KnownSubject = SplitSubject & { readonly usualArea: number };

function usualAreaOf({ mesh, axes, factor }: SplitSubject): number {
  const [low, high] = reachOf(heightsOver(cutPlane([0, 0, 0], axes[0]!), mesh.positions));
  const { volume } = massProperties(mesh, uninterrupted);
  return high > low ? (volume / (high - low)) * factor ** 2 : 1;
}

function reachOf(heights: Float64Array): readonly [low: number, high: number] {
  let [low, high] = [Infinity, -Infinity];
  for (const height of heights) {
    low = Math.min(low, height);
    high = Math.max(high, height);
  }
  return [low, high];
}

function directionsOf({ turn, axes }: SplitSubject): Vec3[] {
  const m = rotationOf(turn);
  const all: Vec3[] = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
    ...[0, 3, 6].map((row): Vec3 => [m[row]!, m[row + 1]!, m[row + 2]!]),
    ...axes,
  ];
  return all.filter((way, n) => all.slice(0, n).every((other) => Math.abs(dot(way, other)) < SAME_DIRECTION));
}

function across(subject: KnownSubject, direction: Vec3, interrupter: Interrupter): SplitPlane[] {
  const { mesh } = subject;
  const { min, max } = boundsOf(mesh.positions);
  const middle = scale(add(min, max), 0.5);
  const plane = cutPlane(middle, direction);
  const heights = heightsOver(plane, mesh.positions);
  const [low, high] = reachOf(heights);
  const step = (high - low) / POSITIONS;
  const even = Array.from({ length: POSITIONS }, (_, n) => low + (n + 0.5) * step);
  const coarse = measured(subject, plane, heights, even, portion(interrupter, 0, 0.8));
  if (coarse.length === 0) return [];
  const { at } = coarse.reduce(better);
  const best = heightsOver(plane, Float32Array.from(at))[0]!;
  const finer = FINER.map((part) => best + part * step);
  return [...coarse, ...measured(subject, plane, heights, finer, portion(interrupter, 0.8, 1))];
}

/** Planes at some heights, ascending. */
function measured(
  subject: KnownSubject,
  plane: CutPlane,
  heights: Float64Array,
  positions: readonly number[],
  interrupter: Interrupter,
): SplitPlane[] {
  const { mesh, factor, turn, axes, usualArea, room, plugMm, tubes } = subject;
  const turns = turnsToTry(turn, axes);
  const slabs = boundsBySlab(mesh, heights, positions, turns);
  const sections = positions.map((height, n) => {
    interrupter(n / positions.length);
    return planeSection(mesh, plane, heights, height, factor);
  });
  const shares = sharesBelow(sections, positions, heights);
  return positions.flatMap((height, n): SplitPlane[] => {
    const section = sections[n]!;
    if (section.segments.length === 0) return [];
    const joined = (from: number, to: number, reach: number): HalfFit => {
      const bounds = turnedBounds(turns);
      for (const slab of slabs.slice(from, to)) bounds.takeAll(slab);
      takeSection(bounds, plane, section, height, factor, 0);
      if (reach > 0) takeSection(bounds, plane, section, height, factor, reach / factor);
      return halfFit(bounds, turns, room, factor);
    };
    const back = joined(0, n + 1, plugMm);
    const front = joined(n + 1, slabs.length, 0);
    const seam = seamOf(subject, plane, section, height);
    const smallerShare = Math.min(shares[n]!, 1 - shares[n]!);
    const lights = lightsCut(tubes, plane, height, section, factor);
    const cost =
      (WEIGHTS.area * section.area) / usualArea +
      WEIGHTS.shown * (seam.rimMm > 0 ? seam.shownMm / seam.rimMm : 0) +
      WEIGHTS.uneven * (1 - 2 * smallerShare) +
      WEIGHTS.tilted * [back, front].filter((half) => isTilted(half, turn)).length +
      WEIGHTS.alongLight * lights.filter(({ angleDeg }) => angleDeg < SHALLOW_DEG).length;
    return [
      {
        at: seam.middle,
        toward: plane.normal,
        areaMm2: section.area,
        ...seam,
        smallerShare,
        lights,
        back,
        front,
        fits: back.fits && front.fits,
        cost,
      },
    ];
  });
}

const isTilted = (half: HalfFit, own: Vec3): boolean => half.turn[0] !== own[0] || half.turn[1] !== own[1];

/** Bounds of the vertices between one position and the next; the first slab lies under all of them. */
function boundsBySlab(
  { positions: p }: Mesh,
  heights: Float64Array,
  positions: readonly number[],
  turns: readonly Vec3[],
): TurnedBounds[] {
  const slabs = Array.from({ length: positions.length + 1 }, () => turnedBounds(turns));
  for (let v = 0; v < heights.length; v++) {
    let slab = 0;
    while (slab < positions.length && heights[v]! >= positions[slab]!) slab++;
    slabs[slab]!.take(p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!);
  }
  return slabs;
}

function takeSection(
  bounds: TurnedBounds,
  plane: CutPlane,
  { segments }: PlaneSection,
  height: number,
  factor: number,
  reach: number,
): void {
  for (let at = 0; at < segments.length; at += 4) {
    const [x, y, z] = fromPlane(plane, segments[at]! / factor, segments[at + 1]! / factor, height + reach);
    bounds.take(x, y, z);
  }
}

/** How much of the volume lies under each position, by the sections between. */
function sharesBelow(sections: readonly PlaneSection[], positions: readonly number[], heights: Float64Array) {
  const [low, high] = reachOf(heights);
  let sum = 0;
  let [areaBefore, heightBefore] = [0, low];
  const until = positions.map((height, n) => {
    sum += ((areaBefore + sections[n]!.area) / 2) * (height - heightBefore);
    [areaBefore, heightBefore] = [sections[n]!.area, height];
    return sum;
  });
  const whole = sum + (areaBefore / 2) * (high - heightBefore);
  return until.map((volume) => Math.min(1, volume / whole));
}

function seamOf(
  { mesh, show, factor }: SplitSubject,
  plane: CutPlane,
  section: PlaneSection,
  height: number,
) {
  const { segments, facets } = section;
  const stride = Math.ceil(facets.length / MOST_LOOKED_AT);
  let [rim, looked, seen] = [0, 0, 0];
  const [low, high] = [
    [Infinity, Infinity],
    [-Infinity, -Infinity],
  ];
  for (let n = 0; n < facets.length; n++) {
    const [ax, ay, bx, by] = segments.subarray(4 * n, 4 * n + 4) as unknown as [
      number,
      number,
      number,
      number,
    ];
    const length = Math.hypot(bx - ax, by - ay);
    rim += length;
    low[0] = Math.min(low[0]!, ax);
    low[1] = Math.min(low[1]!, ay);
    high[0] = Math.max(high[0]!, ax);
    high[1] = Math.max(high[1]!, ay);
    if (show === null || n % stride !== 0) continue;
    looked += length;
    const facing = facetNormal(mesh, facets[n]!);
    const on = fromPlane(plane, (ax + bx) / 2 / factor, (ay + by) / 2 / factor, height);
    if (facing !== null && show.holds(on, facing)) seen += length;
  }
  const middle = fromPlane(
    plane,
    (low[0]! + high[0]!) / 2 / factor,
    (low[1]! + high[1]!) / 2 / factor,
    height,
  );
  return { rimMm: rim, shownMm: looked > 0 ? (rim * seen) / looked : 0, middle };
}
