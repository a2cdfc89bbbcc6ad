import type { Mesh } from '../mesh/mesh.ts';
import { findRoot, joinSets, singletons } from '../unionFind.ts';
import { dot, type Vec3 } from '../vector.ts';
import { basisAcross } from './basisAcross.ts';
import { leafEnd, leavesWhere, type SurfaceIndex } from './surfaceIndex.ts';

/**
 * The facets of a surface that lie within a bore, at least in part: about an axis through a mouth,
 * between two depths. One entry a facet in the order of the mesh; facets without area are left out.
 * Points are seen along the bore: two coordinates across it, the third along it from the mouth, mm.
 */
export interface BoreView {
  readonly mesh: Mesh;
  readonly count: number;
  readonly facet: Uint32Array;
  /** Three corners of three coordinates each, uncut. */
  readonly corners: Float64Array;
  /** Unit normals in the frame of the mesh, three numbers each. */
  readonly normals: Float64Array;
  /** Of what lies within the bore: mm², and its least and greatest depth, mm. */
  readonly area: Float64Array;
  readonly nearest: Float64Array;
  readonly farthest: Float64Array;
}

/** Sides of the prism that stands for the round bore. */
const SIDES = 32;
/** A triangle cut by n planes has at most 3 + n corners. */
const MOST_NUMBERS = 3 * (3 + SIDES + 2);

/** Half-spaces a·x + b·y + c·z ≤ d, four numbers each: the two ends, then the sides. */
function borePlanes(radius: number, from: number, to: number): Float64Array {
  const planes = new Float64Array(4 * (SIDES + 2));
  planes.set([0, 0, 1, to, 0, 0, -1, -from]);
  for (let n = 0; n < SIDES; n++) {
    const turn = (2 * Math.PI * n) / SIDES;
    planes.set([Math.cos(turn), Math.sin(turn), 0, radius], 8 + 4 * n);
  }
  return planes;
}

export function viewBore(
  index: SurfaceIndex,
  mouth: Vec3,
  axis: Vec3,
  radius: number,
  fromDepth: number,
  toDepth: number,
): BoreView {
  const { mesh } = index;
  const view = roomFor(mesh, 1024);
  const planes = borePlanes(radius, fromDepth, toDepth);
  const polygon = scratchPolygon();
  const within = (radius * Math.cos(Math.PI / SIDES)) ** 2;
  const [u, v] = basisAcross(axis);
  const turned = [...u, ...v, ...axis] as const;
  const corners = new Float64Array(9);
  let grown = view;
  let count = 0;
  for (const first of leavesWhere(index, boreBox(mouth, axis, radius, fromDepth, toDepth))) {
    const end = leafEnd(index, first);
    for (let facet = first; facet < end; facet++) {
      seeCorners(mesh, facet, mouth, turned, corners);
      const low = Math.min(corners[2]!, corners[5]!, corners[8]!);
      const high = Math.max(corners[2]!, corners[5]!, corners[8]!);
      if (low > toDepth || high < fromDepth) continue;
      polygon.length = 9;
      polygon.points.set(corners);
      const whole = low >= fromDepth && high <= toDepth && allWithin(corners, within);
      if (!whole) clip(polygon, planes);
      if (polygon.length < 9) continue;
      if (count === grown.facet.length) grown = larger(grown);
      if (!putNormal(mesh, facet, grown.normals, 3 * count)) continue;
      grown.facet[count] = facet;
      grown.corners.set(corners, 9 * count);
      putMeasures(polygon, grown, count);
      count++;
    }
  }
  return { ...grown, count };
}

const roomFor = (mesh: Mesh, facets: number): Omit<BoreView, 'count'> => ({
  mesh,
  facet: new Uint32Array(facets),
  corners: new Float64Array(9 * facets),
  normals: new Float64Array(3 * facets),
  area: new Float64Array(facets),
  nearest: new Float64Array(facets),
  farthest: new Float64Array(facets),
});

function larger(view: Omit<BoreView, 'count'>): Omit<BoreView, 'count'> {
  const room = roomFor(view.mesh, 2 * view.facet.length);
  for (const key of ['facet', 'corners', 'normals', 'area', 'nearest', 'farthest'] as const) {
    room[key].set(view[key]);
  }
  return room;
}

function boreBox(
  mouth: Vec3,
  axis: Vec3,
  radius: number,
  from: number,
  to: number,
): (boxes: Float32Array, box: number) => boolean {
  const reach = axis.map((along) => radius * Math.sqrt(Math.max(0, 1 - along ** 2)) + 1e-4);
  const ends = [0, 1, 2].map((c) => [mouth[c]! + axis[c]! * from, mouth[c]! + axis[c]! * to] as const);
  const [minX, minY, minZ] = ends.map((end, c) => Math.min(...end) - reach[c]!) as [number, number, number];
  const [maxX, maxY, maxZ] = ends.map((end, c) => Math.max(...end) + reach[c]!) as [number, number, number];
  return (boxes, box) =>
    boxes[box]! <= maxX &&
    boxes[box + 1]! <= maxY &&
    boxes[box + 2]! <= maxZ &&
    boxes[box + 3]! >= minX &&
    boxes[box + 4]! >= minY &&
    boxes[box + 5]! >= minZ;
}

function seeCorners(
  { positions, triangles }: Mesh,
  facet: number,
  mouth: Vec3,
  turned: readonly number[],
  corners: Float64Array,
): void {
  for (let corner = 0; corner < 3; corner++) {
    const at = 3 * triangles[3 * facet + corner]!;
    const x = positions[at]! - mouth[0];
    const y = positions[at + 1]! - mouth[1];
    const z = positions[at + 2]! - mouth[2];
    corners[3 * corner] = x * turned[0]! + y * turned[1]! + z * turned[2]!;
    corners[3 * corner + 1] = x * turned[3]! + y * turned[4]! + z * turned[5]!;
    corners[3 * corner + 2] = x * turned[6]! + y * turned[7]! + z * turned[8]!;
  }
}

const allWithin = (corners: Float64Array, squared: number): boolean =>
  corners[0]! ** 2 + corners[1]! ** 2 <= squared &&
  corners[3]! ** 2 + corners[4]! ** 2 <= squared &&
  corners[6]! ** 2 + corners[7]! ** 2 <= squared;

/** A convex polygon in space: `length` numbers of `points`, three a corner. */
interface Polygon {
  points: Float64Array;
  other: Float64Array;
  length: number;
}

const scratchPolygon = (): Polygon => ({
  points: new Float64Array(MOST_NUMBERS),
  other: new Float64Array(MOST_NUMBERS),
  length: 0,
});

/** Cuts a polygon down to what lies within all half-spaces; fewer than three corners: nothing does. Sutherland & Hodgman 1974. */
function clip(polygon: Polygon, planes: Float64Array): void {
  for (let plane = 0; plane < planes.length && polygon.length >= 9; plane += 4) {
    clipByPlane(polygon, planes[plane]!, planes[plane + 1]!, planes[plane + 2]!, planes[plane + 3]!);
  }
}

function clipByPlane(polygon: Polygon, a: number, b: number, c: number, d: number): void {
  const { points, other, length } = polygon;
  let most = -Infinity;
  for (let at = 0; at < length; at += 3) {
    most = Math.max(most, a * points[at]! + b * points[at + 1]! + c * points[at + 2]! - d);
  }
  if (most <= 0) return;
  let kept = 0;
  for (let at = 0; at < length; at += 3) {
    const next = at + 3 < length ? at + 3 : 0;
    const over = a * points[at]! + b * points[at + 1]! + c * points[at + 2]! - d;
    const overNext = a * points[next]! + b * points[next + 1]! + c * points[next + 2]! - d;
    if (over <= 0) {
      other[kept++] = points[at]!;
      other[kept++] = points[at + 1]!;
      other[kept++] = points[at + 2]!;
    }
    if (over <= 0 !== overNext <= 0) {
      const t = over / (over - overNext);
      for (let k = 0; k < 3; k++) other[kept++] = points[at + k]! + t * (points[next + k]! - points[at + k]!);
    }
  }
  polygon.points = other;
  polygon.other = points;
  polygon.length = kept;
}

function putMeasures({ points, length }: Polygon, view: Omit<BoreView, 'count'>, entry: number): void {
  let nearest = Infinity;
  let farthest = -Infinity;
  for (let at = 2; at < length; at += 3) {
    nearest = Math.min(nearest, points[at]!);
    farthest = Math.max(farthest, points[at]!);
  }
  view.nearest[entry] = nearest;
  view.farthest[entry] = farthest;
  view.area[entry] = polygonArea(points, length);
}

function polygonArea(points: Float64Array, length: number): number {
  let x = 0;
  let y = 0;
  let z = 0;
  for (let at = 3; at + 3 < length; at += 3) {
    const ux = points[at]! - points[0]!;
    const uy = points[at + 1]! - points[1]!;
    const uz = points[at + 2]! - points[2]!;
    const vx = points[at + 3]! - points[0]!;
    const vy = points[at + 4]! - points[1]!;
    const vz = points[at + 5]! - points[2]!;
    x += uy * vz - uz * vy;
    y += uz * vx - ux * vz;
    z += ux * vy - uy * vx;
  }
  return Math.hypot(x, y, z) / 2;
}

/** Unit normal of a facet, three numbers at `at`; false for a facet without area. */
function putNormal({ positions: p, triangles }: Mesh, facet: number, out: Float64Array, at: number): boolean {
  const a = 3 * triangles[3 * facet]!;
  const b = 3 * triangles[3 * facet + 1]!;
  const c = 3 * triangles[3 * facet + 2]!;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  const x = uy * vz - uz * vy;
  const y = uz * vx - ux * vz;
  const z = ux * vy - uy * vx;
  const length = Math.sqrt(x * x + y * y + z * z);
  if (!(length > 0)) return false;
  out[at] = x / length;
  out[at + 1] = y / length;
  out[at + 2] = z / length;
  return true;
}

export function facetNormal(mesh: Mesh, facet: number): Vec3 | null {
  const normal = new Float64Array(3);
  return putNormal(mesh, facet, normal, 0) ? (Array.from(normal) as unknown as Vec3) : null;
}

export const normalOf = ({ normals }: BoreView, entry: number): Vec3 => [
  normals[3 * entry]!,
  normals[3 * entry + 1]!,
  normals[3 * entry + 2]!,
];

/**
 * Marks the entries whose facets hang together with facet `start` (by shared vertices) and whose
 * normals are within `leastCosine` of `facing`. `start` itself need not face that way.
 */
export function connectedFacets(
  view: BoreView,
  start: number,
  facing: Vec3,
  leastCosine: number,
): Uint8Array {
  const { mesh, count, facet } = view;
  const { triangles } = mesh;
  const parent = singletons(count);
  const marks = new Uint8Array(count);
  // Entry + 1 of the first facet met at a vertex. Fresh pages of it are zero without being written.
  const atVertex = new Uint32Array(mesh.positions.length / 3);
  for (let entry = 0; entry < count; entry++) {
    if (dot(normalOf(view, entry), facing) < leastCosine) continue;
    marks[entry] = 1;
    for (let corner = 3 * facet[entry]!; corner < 3 * facet[entry]! + 3; corner++) {
      const vertex = triangles[corner]!;
      const there = atVertex[vertex]!;
      if (there === 0) atVertex[vertex] = entry + 1;
      else joinSets(parent, there - 1, entry);
    }
  }
  const roots = new Set<number>();
  for (let corner = 3 * start; corner < 3 * start + 3; corner++) {
    const there = atVertex[triangles[corner]!]!;
    if (there !== 0) roots.add(findRoot(parent, there - 1));
  }
  for (let entry = 0; entry < count; entry++) {
    if (marks[entry] === 1 && !roots.has(findRoot(parent, entry))) marks[entry] = 0;
  }
  return marks;
}

/** Mean normal of the marked entries by area within the bore; null when there is none. */
export function meanNormal(view: BoreView, marks: Uint8Array): Vec3 | null {
  let x = 0;
  let y = 0;
  let z = 0;
  for (let entry = 0; entry < view.count; entry++) {
    if (marks[entry] === 0) continue;
    const area = view.area[entry]!;
    x += area * view.normals[3 * entry]!;
    y += area * view.normals[3 * entry + 1]!;
    z += area * view.normals[3 * entry + 2]!;
  }
  const length = Math.hypot(x, y, z);
  return length > 0 ? [x / length, y / length, z / length] : null;
}

/** Least distance from the axis of what of the unmarked facets lies between two depths, mm. */
export function leastClearance(
  { count, corners }: BoreView,
  marks: Uint8Array,
  from: number,
  to: number,
): number {
  const ends = Float64Array.of(0, 0, 1, to, 0, 0, -1, -from);
  const polygon = scratchPolygon();
  let least = Infinity;
  for (let entry = 0; entry < count; entry++) {
    if (marks[entry] === 1) continue;
    for (let at = 0; at < 9; at++) polygon.points[at] = corners[9 * entry + at]!;
    if (polygonClearance(polygon.points, 9) >= least) continue;
    polygon.length = 9;
    clip(polygon, ends);
    if (polygon.length >= 9) least = Math.min(least, polygonClearance(polygon.points, polygon.length));
  }
  return least;
}

/** Distance of a convex polygon from the axis, seen along it. */
function polygonClearance(points: Float64Array, length: number): number {
  let inside = true;
  let least = Infinity;
  let turn = 0;
  for (let at = 0; at < length; at += 3) {
    const next = at + 3 < length ? at + 3 : 0;
    const x = points[at]!;
    const y = points[at + 1]!;
    const ex = points[next]! - x;
    const ey = points[next + 1]! - y;
    const squared = ex * ex + ey * ey;
    const t = squared > 0 ? Math.min(1, Math.max(0, -(x * ex + y * ey) / squared)) : 0;
    const px = x + t * ex;
    const py = y + t * ey;
    least = Math.min(least, px * px + py * py);
    const side = Math.sign(x * points[next + 1]! - y * points[next]!);
    if (side !== 0 && turn !== 0 && side !== turn) inside = false;
    if (side !== 0) turn = side;
  }
  return inside && turn !== 0 ? 0 : Math.sqrt(least);
}
