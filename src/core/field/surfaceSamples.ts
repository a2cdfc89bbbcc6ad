import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { BRICK, type FieldLattice } from './fieldLattice.ts';

/** Edges longer than this part of the wall get samples between their ends … */
const EDGE_SHARE = 0.4;
/** … and of samples in one cell of this part of it only one is kept. */
const THINNING_SHARE = 0.4;
/** Where walls are thick the surface is sampled no coarser than for this one, mm. */
const MOST_WALL_MM = 1.5;

/** Points strewn over a surface, sorted by the brick of a field lattice they lie in. */
export interface SurfaceSamples {
  /** x, y, z of each sample, mm. */
  readonly points: Float32Array;
  /** A facet each sample lies on. */
  readonly facet: Uint32Array;
  /** First sample of each brick, and their number last. */
  readonly start: Uint32Array;
}

/**
 * Samples a surface densely enough to tell depths near `levelMm`: its corners, and points on facets
 * with longer edges. Samples s apart tell a distance d too great by no more than about s²/(4·d).
 * Only layers of bricks [from, to) get any, the same whatever the others. All of the mesh must lie in
 * the lattice. Linear; deterministic.
 */
export function sampleSurface(
  mesh: Mesh,
  lattice: FieldLattice,
  levelMm: number,
  layers: readonly [from: number, to: number],
  interrupter: Interrupter,
): SurfaceSamples {
  const wall = Math.min(levelMm, MOST_WALL_MM);
  const spread = strewPoints(mesh, EDGE_SHARE * wall, zRange(lattice, layers), interrupter);
  return sortByBrick(spread, lattice, THINNING_SHARE * wall);
}

/** Heights between which samples belong to the layers of bricks [from, to). */
function zRange({ origin, spacing }: FieldLattice, [from, to]: readonly [number, number]): [number, number] {
  const side = BRICK * spacing;
  const start = origin[2] - spacing / 2;
  return [start + from * side, start + to * side];
}

interface Strewn {
  points: Float32Array;
  facet: Uint32Array;
  count: number;
}

/** Corners first, each with its last facet, then the points on large facets; those with z in [low, high). */
function strewPoints(
  { positions, triangles }: Mesh,
  longest: number,
  [low, high]: readonly [number, number],
  interrupter: Interrupter,
): Strewn {
  const strewn = cornersWithin(positions, low, high);
  // −1 until a facet is met.
  const lastFacet = new Int32Array(positions.length / 3).fill(-1);
  const facets = triangles.length / 3;
  for (let f = 0; f < facets; f++) {
    if ((f & 0xffff) === 0) interrupter(f / facets);
    const a = triangles[3 * f]!;
    const b = triangles[3 * f + 1]!;
    const c = triangles[3 * f + 2]!;
    const az = positions[3 * a + 2]!;
    const bz = positions[3 * b + 2]!;
    const cz = positions[3 * c + 2]!;
    if ((az < low && bz < low && cz < low) || (az >= high && bz >= high && cz >= high)) continue;
    lastFacet[a] = f;
    lastFacet[b] = f;
    lastFacet[c] = f;
    if (isLarge(positions, 3 * a, 3 * b, 3 * c, longest))
      strewFacet(positions, 3 * a, 3 * b, 3 * c, longest, f, low, high, strewn);
  }
  let corner = 0;
  for (let v = 0; v < lastFacet.length; v++) {
    const z = positions[3 * v + 2]!;
    if (z >= low && z < high) strewn.facet[corner++] = Math.max(0, lastFacet[v]!);
  }
  return strewn;
}

function cornersWithin(positions: Float32Array, low: number, high: number): Strewn {
  let count = 0;
  for (let i = 2; i < positions.length; i += 3) if (positions[i]! >= low && positions[i]! < high) count++;
  const strewn = { points: new Float32Array(3 * count), facet: new Uint32Array(count), count: 0 };
  for (let i = 0; i < positions.length; i += 3) {
    if (positions[i + 2]! >= low && positions[i + 2]! < high)
      addPoint(strewn, positions[i]!, positions[i + 1]!, positions[i + 2]!, 0);
  }
  return strewn;
}

function addPoint(strewn: Strewn, x: number, y: number, z: number, facet: number): void {
  if (strewn.count === strewn.facet.length) {
    const size = 1024 + 2 * strewn.count;
    const points = new Float32Array(3 * size);
    points.set(strewn.points);
    strewn.points = points;
    const facets = new Uint32Array(size);
    facets.set(strewn.facet);
    strewn.facet = facets;
  }
  strewn.points[3 * strewn.count] = x;
  strewn.points[3 * strewn.count + 1] = y;
  strewn.points[3 * strewn.count + 2] = z;
  strewn.facet[strewn.count++] = facet;
}

function isLarge(p: Float32Array, a: number, b: number, c: number, longest: number): boolean {
  const most = longest * longest;
  return squaredEdge(p, a, b) > most || squaredEdge(p, b, c) > most || squaredEdge(p, c, a) > most;
}

const squaredEdge = (p: Float32Array, a: number, b: number): number => {
  const x = p[b]! - p[a]!;
  const y = p[b + 1]! - p[a + 1]!;
  const z = p[b + 2]! - p[a + 2]!;
  return x * x + y * y + z * z;
};

/** Points in rows along a facet's longest edge, no further apart than `longest` either way. */
function strewFacet(
  p: Float32Array,
  a: number,
  b: number,
  c: number,
  longest: number,
  facet: number,
  low: number,
  high: number,
  strewn: Strewn,
): void {
  const ab = squaredEdge(p, a, b);
  const bc = squaredEdge(p, b, c);
  const ca = squaredEdge(p, c, a);
  if (bc >= ab && bc >= ca) strewFrom(p, b, c, a, longest, facet, low, high, strewn);
  else if (ca >= ab) strewFrom(p, c, a, b, longest, facet, low, high, strewn);
  else strewFrom(p, a, b, c, longest, facet, low, high, strewn);
}

function strewFrom(
  p: Float32Array,
  a: number,
  b: number,
  top: number,
  longest: number,
  facet: number,
  low: number,
  high: number,
  strewn: Strewn,
): void {
  const base = Math.sqrt(squaredEdge(p, a, b));
  // The longer of the other two sides bounds the way up.
  const side = Math.sqrt(Math.max(squaredEdge(p, a, top), squaredEdge(p, b, top)));
  const height = heightOf(p, a, b, top, base);
  const step = longest;
  const rows = Math.max(1, Math.ceil((height > 0 ? Math.min(side, 2 * height) : 0) / step));
  for (let row = 0; row < rows; row++) {
    const up = row / rows;
    const count = Math.ceil(((1 - up) * base) / step);
    for (let n = row === 0 ? 1 : 0; n < count + (row === 0 ? 0 : 1); n++) {
      const along = count === 0 ? 0 : ((1 - up) * n) / count;
      const rest = 1 - up - along;
      const z = rest * p[a + 2]! + along * p[b + 2]! + up * p[top + 2]!;
      if (z < low || z >= high) continue;
      const x = rest * p[a]! + along * p[b]! + up * p[top]!;
      const y = rest * p[a + 1]! + along * p[b + 1]! + up * p[top + 1]!;
      addPoint(strewn, x, y, z, facet);
    }
  }
}

function heightOf(p: Float32Array, a: number, b: number, top: number, base: number): number {
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[top]! - p[a]!;
  const vy = p[top + 1]! - p[a + 1]!;
  const vz = p[top + 2]! - p[a + 2]!;
  const x = uy * vz - uz * vy;
  const y = uz * vx - ux * vz;
  const z = ux * vy - uy * vx;
  return Math.sqrt(x * x + y * y + z * z) / base;
}

/** Counting sort by brick; of the samples in one thinning cell of a brick the first stays. */
function sortByBrick(strewn: Strewn, lattice: FieldLattice, thinning: number): SurfaceSamples {
  const [nx, ny, nz] = lattice.bricks;
  const brickOf = bricksOfPoints(strewn, lattice);
  const start = new Uint32Array(nx * ny * nz + 1);
  for (let s = 0; s < brickOf.length; s++) start[brickOf[s]! + 1]!++;
  for (let brick = 1; brick < start.length; brick++) start[brick]! += start[brick - 1]!;
  const order = new Uint32Array(brickOf.length);
  const cursor = start.slice();
  for (let s = 0; s < brickOf.length; s++) order[cursor[brickOf[s]!]!++] = s;
  return thinned(strewn, lattice, thinning, order, start);
}

/** A brick's samples are those nearer to its nodes than to the next brick's. */
function bricksOfPoints({ points, count }: Strewn, { origin, spacing, bricks }: FieldLattice): Uint32Array {
  const [nx, ny] = bricks;
  const [ox, oy, oz] = origin;
  const side = BRICK * spacing;
  const shift = spacing / 2;
  const brickOf = new Uint32Array(count);
  for (let s = 0; s < count; s++) {
    const i = Math.floor((points[3 * s]! - ox + shift) / side);
    const j = Math.floor((points[3 * s + 1]! - oy + shift) / side);
    const k = Math.floor((points[3 * s + 2]! - oz + shift) / side);
    brickOf[s] = i + nx * (j + ny * k);
  }
  return brickOf;
}

/** The samples that stay, in order; moves `start` to them. */
function thinned(
  strewn: Strewn,
  { origin, spacing, bricks }: FieldLattice,
  thinning: number,
  order: Uint32Array,
  start: Uint32Array,
): SurfaceSamples {
  const [nx, ny] = bricks;
  const side = BRICK * spacing;
  const grid = thinningGrid(side, thinning);
  const points = new Float32Array(3 * order.length);
  const facet = new Uint32Array(order.length);
  let kept = 0;
  for (let brick = 0; brick + 1 < start.length; brick++) {
    const first = start[brick]!;
    start[brick] = kept;
    if (first === start[brick + 1]!) continue;
    grid.x = origin[0] - spacing / 2 + side * (brick % nx);
    grid.y = origin[1] - spacing / 2 + side * (Math.floor(brick / nx) % ny);
    grid.z = origin[2] - spacing / 2 + side * Math.floor(brick / (nx * ny));
    kept = thinBrick(strewn, order, first, start[brick + 1]!, brick + 1, grid, points, facet, kept);
  }
  start[start.length - 1] = kept;
  return { points: points.subarray(0, 3 * kept), facet: facet.subarray(0, kept), start };
}

/** Cells of one brick after the other. */
interface ThinningGrid {
  readonly cell: number;
  readonly along: number;
  /** Who took each cell last. */
  readonly taken: Uint32Array;
  x: number;
  y: number;
  z: number;
}

function thinningGrid(side: number, cell: number): ThinningGrid {
  const along = Math.ceil(side / cell) + 1;
  return { cell, along, taken: new Uint32Array(along ** 3), x: 0, y: 0, z: 0 };
}

/** Keeps the first sample of each cell, from place `kept` on; returns the next place. */
function thinBrick(
  { points, facet }: Strewn,
  order: Uint32Array,
  first: number,
  last: number,
  taker: number,
  { cell, along, taken, x: x0, y: y0, z: z0 }: ThinningGrid,
  keptPoints: Float32Array,
  keptFacet: Uint32Array,
  kept: number,
): number {
  let next = kept;
  for (let n = first; n < last; n++) {
    const s = order[n]!;
    const x = points[3 * s]!;
    const y = points[3 * s + 1]!;
    const z = points[3 * s + 2]!;
    const at =
      Math.floor((x - x0) / cell) +
      along * (Math.floor((y - y0) / cell) + along * Math.floor((z - z0) / cell));
    if (taken[at] === taker) continue;
    taken[at] = taker;
    keptPoints[3 * next] = x;
    keptPoints[3 * next + 1] = y;
    keptPoints[3 * next + 2] = z;
    keptFacet[next++] = facet[s]!;
  }
  return next;
}
