import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import type { Vec3 } from '../vector.ts';
import { type ClosestPoint, closestPointScratch } from './closestPoint.ts';
import { offerFacet } from './facetWalk.ts';
import { BRICK, type FieldLattice } from './fieldLattice.ts';
import { type SampleBlocks, sampleBlocks, searchSamples } from './sampleBlocks.ts';
import type { SurfaceSamples } from './surfaceSamples.ts';

/** Measurements spent on the search at most; flat plates have a whole sheet of deepest points. */
const MOST_MEASUREMENTS = 1500;
/** … and on one place. */
const MOST_NEAR = 700;
const STEP_END_MM = 0.01;
/** Bounds on distances are widened by this for rounding. */
const ROUNDING = 1 + 1e-6;

/** What the search looks at. */
export interface DeepSource {
  readonly mesh: Mesh;
  readonly lattice: FieldLattice;
  /** Of the whole surface. */
  readonly samples: SurfaceSamples;
  /** By the row of nodes next to a point. */
  readonly isInside: (x: number, y: number, z: number) => boolean;
}

/** Finds places that lie deep in a part, by climbing. */
export interface DepthClimber {
  /**
   * The greatest depth found in the part, mm, right to about 0.02 mm where the deepest place is not
   * lost among many. Starts at the bricks that could hold it, in order of promise.
   */
  deepest(interrupter: Interrupter): number;
  /** The top of the rise in depth that a point lies on. A point outside stays where it is, with depth 0. */
  near(start: Vec3): { readonly at: Vec3; readonly depthMm: number };
}

export function depthClimber(source: DeepSource): DepthClimber {
  const blocks = sampleBlocks(source.samples, source.lattice);
  return {
    deepest: (interrupter) => deepestDepth(source, blocks, interrupter),
    near(start) {
      const climb = climbOver(source, blocks, MOST_NEAR);
      climbFrom(climb, start, Infinity);
      return { at: [climb.x, climb.y, climb.z], depthMm: climb.depth };
    },
  };
}

function deepestDepth(source: DeepSource, blocks: SampleBlocks, interrupter: Interrupter): number {
  const { lattice } = source;
  const promise = roughDepths(source);
  // A rough depth is too great by the samples it missed: no more than a brick's diagonal.
  const reach = BRICK * Math.sqrt(3) * lattice.spacing;
  const order = bricksByDepth(promise, -reach);
  const climb = climbOver(source, blocks, MOST_MEASUREMENTS);
  let best = 0;
  for (const brick of order) {
    if (promise[brick]! + reach <= best || climb.left <= 0) break;
    interrupter(1 - climb.left / MOST_MEASUREMENTS);
    climbFrom(climb, middleOfBrick(lattice, brick), Math.abs(promise[brick]!));
    if (climb.depth > best) best = climb.depth;
  }
  return best;
}

interface Climb {
  readonly source: DeepSource;
  readonly query: Float64Array;
  readonly blocks: SampleBlocks;
  readonly found: ClosestPoint;
  x: number;
  y: number;
  z: number;
  depth: number;
  /** How far the closest sample lies from the point, and from the point measured last. */
  sampleMm: number;
  reachedMm: number;
  left: number;
}

function climbOver(source: DeepSource, blocks: SampleBlocks, left: number): Climb {
  return {
    source,
    blocks,
    x: 0,
    y: 0,
    z: 0,
    depth: 0,
    sampleMm: 0,
    reachedMm: 0,
    left,
    found: closestPointScratch(),
    query: new Float64Array(3),
  };
}

function bricksByDepth(brickDepth: Float32Array, least: number): Uint32Array {
  const bricks: number[] = [];
  for (let brick = 0; brick < brickDepth.length; brick++) if (brickDepth[brick]! > least) bricks.push(brick);
  return Uint32Array.from(bricks).sort((a, b) => brickDepth[b]! - brickDepth[a]! || a - b);
}

/**
 * Depth of every brick's middle by a near sample, negative outside: each brick hands its
 * closest sample on to its neighbours, sweeping there and back twice (Danielsson, Euclidean distance
 * mapping, 1980).
 */
function roughDepths({ lattice, isInside, samples }: DeepSource): Float32Array {
  const [nx, ny, nz] = lattice.bricks;
  const total = nx * ny * nz;
  const nearest = new Int32Array(total).fill(-1);
  const depth = new Float32Array(total).fill(Infinity);
  for (let round = 0; round < 2; round++) {
    sweepSamples(samples, lattice, nearest, depth, 1, round === 0);
    sweepSamples(samples, lattice, nearest, depth, -1, false);
  }
  for (let brick = 0; brick < total; brick++) {
    const [x, y, z] = middleOfBrick(lattice, brick);
    depth[brick] = Math.sqrt(depth[brick]!) * (isInside(x, y, z) ? 1 : -1);
  }
  return depth;
}

/** Offers every brick its own samples, if asked to, and the closest ones of the 13 neighbours visited before it; `depth` holds squares. */
function sweepSamples(
  { points, start }: SurfaceSamples,
  lattice: FieldLattice,
  nearest: Int32Array,
  depth: Float32Array,
  sign: 1 | -1,
  own: boolean,
): void {
  const [nx, ny, nz] = lattice.bricks;
  for (let n = 0; n < nearest.length; n++) {
    const brick = sign > 0 ? n : nearest.length - 1 - n;
    const i = brick % nx;
    const j = Math.floor(brick / nx) % ny;
    const k = Math.floor(brick / (nx * ny));
    const [x, y, z] = middleOf(lattice, i, j, k);
    let least = depth[brick]!;
    let best = nearest[brick]!;
    const ownEnd = own ? start[brick + 1]! : 0;
    for (let s = own ? start[brick]! : 0; s < ownEnd; s++) {
      const squared = squaredTo(points, s, x, y, z);
      if (squared >= least) continue;
      least = Math.fround(squared);
      best = s;
    }
    for (let way = 0; way < 13; way++) {
      const a = i + sign * stepX[way]!;
      const b = j + sign * stepY[way]!;
      const c = k + sign * stepZ[way]!;
      if (a < 0 || b < 0 || c < 0 || a >= nx || b >= ny || c >= nz) continue;
      const s = nearest[a + nx * (b + ny * c)]!;
      if (s < 0 || s === best) continue;
      const squared = squaredTo(points, s, x, y, z);
      if (squared >= least) continue;
      least = Math.fround(squared);
      best = s;
    }
    depth[brick] = least;
    nearest[brick] = best;
  }
}

/** To the neighbours that come before a brick. */
const stepX = Int8Array.from({ length: 13 }, (_, way) => (way % 3) - 1);
const stepY = Int8Array.from({ length: 13 }, (_, way) => (Math.floor(way / 3) % 3) - 1);
const stepZ = Int8Array.from({ length: 13 }, (_, way) => Math.floor(way / 9) - 1);

const squaredTo = (points: Float32Array, sample: number, x: number, y: number, z: number): number =>
  (points[3 * sample]! - x) ** 2 + (points[3 * sample + 1]! - y) ** 2 + (points[3 * sample + 2]! - z) ** 2;

function middleOf(
  { origin, spacing }: FieldLattice,
  i: number,
  j: number,
  k: number,
): [number, number, number] {
  return [
    origin[0] + spacing * (BRICK * i + BRICK / 2),
    origin[1] + spacing * (BRICK * j + BRICK / 2),
    origin[2] + spacing * (BRICK * k + BRICK / 2),
  ];
}

function middleOfBrick(lattice: FieldLattice, brick: number): Vec3 {
  const [nx, ny] = lattice.bricks;
  return middleOf(lattice, brick % nx, Math.floor(brick / nx) % ny, Math.floor(brick / (nx * ny)));
}

/** Pattern search from a point whose depth is known roughly; never leaves the inside, since depth outside counts as none. */
function climbFrom(climb: Climb, start: Vec3, roughMm: number): void {
  const { lattice, isInside } = climb.source;
  [climb.x, climb.y, climb.z] = start;
  climb.depth = depthAt(climb, climb.x, climb.y, climb.z, roughMm);
  climb.sampleMm = climb.reachedMm;
  if (!isInside(climb.x, climb.y, climb.z)) climb.depth = 0;
  for (let step = (BRICK / 2) * lattice.spacing; step > STEP_END_MM && climb.left > 0; ) {
    if (!climbOnce(climb, step)) step /= 2;
  }
}

/** Distance from a point to the surface, of which a sample is known to lie within `withinMm`. */
function depthAt(climb: Climb, x: number, y: number, z: number, withinMm: number): number {
  const { source, blocks, found, query } = climb;
  const { points, facet } = source.samples;
  const sample = searchSamples(source.samples, blocks, x, y, z, withinMm * ROUNDING);
  climb.reachedMm = Math.hypot(
    points[3 * sample]! - x,
    points[3 * sample + 1]! - y,
    points[3 * sample + 2]! - z,
  );
  query[0] = x;
  query[1] = y;
  query[2] = z;
  found.squared = Infinity;
  offerFacet(source.mesh.positions, source.mesh.triangles, facet[sample]!, query, found);
  return Math.sqrt(found.squared);
}

/** Goes to the best of the 26 neighbours at this step if it is deeper. */
function climbOnce(climb: Climb, step: number): boolean {
  const { isInside } = climb.source;
  let best = climb.depth;
  let bestWay = -1;
  let { sampleMm } = climb;
  for (let way = 0; way < 27; way++) {
    if (way === 13) continue;
    const x = climb.x + step * ((way % 3) - 1);
    const y = climb.y + step * ((Math.floor(way / 3) % 3) - 1);
    const z = climb.z + step * (Math.floor(way / 9) - 1);
    climb.left--;
    const depth = depthAt(climb, x, y, z, climb.sampleMm + Math.sqrt(3) * step);
    if (depth > best && isInside(x, y, z)) {
      best = depth;
      bestWay = way;
      sampleMm = climb.reachedMm;
    }
  }
  if (bestWay < 0) return false;
  climb.sampleMm = sampleMm;
  climb.x += step * ((bestWay % 3) - 1);
  climb.y += step * ((Math.floor(bestWay / 3) % 3) - 1);
  climb.z += step * (Math.floor(bestWay / 9) - 1);
  climb.depth = best;
  return true;
}
