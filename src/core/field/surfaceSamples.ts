import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { BRICK, type FieldLattice } from './fieldLattice.ts';

/** Edges longer than this part of the wall get samples between their ends … */
const EDGE_SHARE = 0.4;
/** … and of samples in one cell of this part of it only one is kept. */
const THINNING_SHARE = 0.4;
/** Where walls are thick the surface is sampled no coarser than for this one, mm. */
const MOST_WALL_MM = 1.5;

/** Samples and words of cells that there is room for to begin with. */
const FIRST_ROOM = 1 << 14;

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
  const strewn = emptyStrewn(lattice, THINNING_SHARE * wall);
  strewPoints(mesh, EDGE_SHARE * wall, zRange(lattice, layers), strewn, interrupter);
  return sortByBrick(strewn, lattice);
}

/** Heights between which samples belong to the layers of bricks [from, to). */
function zRange({ origin, spacing }: FieldLattice, [from, to]: readonly [number, number]): [number, number] {
  const side = BRICK * spacing;
  const start = origin[2] - spacing / 2;
  return [start + from * side, start + to * side];
}

/** The samples so far, of which the first in each thinning cell of a brick stayed. */
interface Strewn {
  readonly lattice: FieldLattice;
  points: Float32Array;
  facet: Uint32Array;
  brick: Uint32Array;
  count: number;
  /** Edge of a thinning cell, mm, and how many of them a brick has along each axis. */
  readonly cell: number;
  readonly along: number;
  /** Where each brick's cells begin in `taken`, in words; 0 as long as it has no sample. */
  readonly cellsOf: Uint32Array;
  /** A bit a cell. */
  taken: Uint32Array;
  takenEnd: number;
}

function emptyStrewn(lattice: FieldLattice, cell: number): Strewn {
  const [nx, ny, nz] = lattice.bricks;
  return {
    lattice,
    points: new Float32Array(3 * FIRST_ROOM),
    facet: new Uint32Array(FIRST_ROOM),
    brick: new Uint32Array(FIRST_ROOM),
    count: 0,
    cell,
    along: Math.ceil((BRICK * lattice.spacing) / cell) + 1,
    cellsOf: new Uint32Array(nx * ny * nz),
    taken: new Uint32Array(FIRST_ROOM),
    takenEnd: 1,
  };
}

/** Corners first, each with its last facet, then the points on large facets; those with z in [low, high). */
function strewPoints(
  { positions, triangles }: Mesh,
  longest: number,
  [low, high]: readonly [number, number],
  strewn: Strewn,
  interrupter: Interrupter,
): void {
  for (let i = 0; i < positions.length; i += 3) {
    const z = positions[i + 2]!;
    // The corner stands for its facet until all of them are met.
    if (z >= low && z < high) addPoint(strewn, positions[i]!, positions[i + 1]!, z, i / 3);
  }
  const corners = strewn.count;
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
  for (let s = 0; s < corners; s++) strewn.facet[s] = Math.max(0, lastFacet[strewn.facet[s]!]!);
}

/** Adds a sample unless its thinning cell has one; coordinates as float32 has them. */
function addPoint(strewn: Strewn, x: number, y: number, z: number, facet: number): void {
  const { lattice, cell, along, cellsOf } = strewn;
  const { origin, spacing, bricks } = lattice;
  // A brick's samples are those nearer to its nodes than to the next brick's.
  const side = BRICK * spacing;
  const shift = spacing / 2;
  const i = Math.floor((x - origin[0] + shift) / side);
  const j = Math.floor((y - origin[1] + shift) / side);
  const k = Math.floor((z - origin[2] + shift) / side);
  const brick = i + bricks[0] * (j + bricks[1] * k);
  if (cellsOf[brick] === 0) cellsOf[brick] = moreCells(strewn);
  const inBrick =
    Math.floor((x - (origin[0] - shift + side * i)) / cell) +
    along *
      (Math.floor((y - (origin[1] - shift + side * j)) / cell) +
        along * Math.floor((z - (origin[2] - shift + side * k)) / cell));
  const word = cellsOf[brick]! + (inBrick >> 5);
  const bit = 1 << (inBrick & 31);
  if ((strewn.taken[word]! & bit) !== 0) return;
  strewn.taken[word]! |= bit;
  const at = strewn.count++;
  if (at === strewn.facet.length) enlarge(strewn);
  strewn.points[3 * at] = x;
  strewn.points[3 * at + 1] = y;
  strewn.points[3 * at + 2] = z;
  strewn.facet[at] = facet;
  strewn.brick[at] = brick;
}

/** Where the cells of one more brick begin. */
function moreCells(strewn: Strewn): number {
  const begin = strewn.takenEnd;
  strewn.takenEnd += Math.ceil(strewn.along ** 3 / 32);
  if (strewn.takenEnd > strewn.taken.length) strewn.taken = enlarged(strewn.taken, 2 * strewn.takenEnd);
  return begin;
}

function enlarge(strewn: Strewn): void {
  const room = 2 * strewn.facet.length;
  const points = new Float32Array(3 * room);
  points.set(strewn.points);
  strewn.points = points;
  strewn.facet = enlarged(strewn.facet, room);
  strewn.brick = enlarged(strewn.brick, room);
}

function enlarged(values: Uint32Array, room: number): Uint32Array {
  const larger = new Uint32Array(room);
  larger.set(values);
  return larger;
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
      addPoint(strewn, Math.fround(x), Math.fround(y), Math.fround(z), facet);
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

/** Counting sort by brick; those of a brick stay in the order they came. */
function sortByBrick({ points, facet, brick, count }: Strewn, { bricks }: FieldLattice): SurfaceSamples {
  const [nx, ny, nz] = bricks;
  const start = new Uint32Array(nx * ny * nz + 1);
  for (let s = 0; s < count; s++) start[brick[s]! + 1]!++;
  for (let b = 1; b < start.length; b++) start[b]! += start[b - 1]!;
  const cursor = start.slice();
  const sorted = { points: new Float32Array(3 * count), facet: new Uint32Array(count), start };
  for (let s = 0; s < count; s++) {
    const at = cursor[brick[s]!]!++;
    sorted.points[3 * at] = points[3 * s]!;
    sorted.points[3 * at + 1] = points[3 * s + 1]!;
    sorted.points[3 * at + 2] = points[3 * s + 2]!;
    sorted.facet[at] = facet[s]!;
  }
  return sorted;
}
