import type { FacetTree } from '../../../src/core/field/facetTree.ts';
import { basisAcross } from '../../../src/core/openings/basisAcross.ts';
import { dot, type Vec3 } from '../../../src/core/vector.ts';
import { facetsInBox } from './lineHitsByTree.ts';

/** A point seen along a bore: two coordinates across it, the third along it, mm. */
export type BorePoint = readonly [across: number, across2: number, along: number];

/** One facet, cut down to what lies within a bore and between two depths, with its own normal. */
export interface BoreFacet {
  readonly packed: number;
  readonly polygon: readonly BorePoint[];
  /** Unit normal, in the frame of the mesh. */
  readonly normal: Vec3;
}

/** Sides of the prism that stands for the round bore. */
const SIDES = 32;

/** The facets of a surface that lie within a bore: about an axis through `mouth`, between two depths. */
export function facetsInBore(
  tree: FacetTree,
  mouth: Vec3,
  axis: Vec3,
  radius: number,
  fromDepth: number,
  toDepth: number,
): BoreFacet[] {
  const reach = [0, 1, 2].map((c) => radius * Math.sqrt(Math.max(0, 1 - axis[c]! ** 2)));
  const ends = (c: number): [number, number] => [
    mouth[c]! + axis[c]! * fromDepth,
    mouth[c]! + axis[c]! * toDepth,
  ];
  const min = [0, 1, 2].map((c) => Math.min(...ends(c)) - reach[c]! - 1e-4) as unknown as Vec3;
  const max = [0, 1, 2].map((c) => Math.max(...ends(c)) + reach[c]! + 1e-4) as unknown as Vec3;
  const planes = borePlanes(radius, fromDepth, toDepth);
  const [u, v] = basisAcross(axis);
  const within = (radius * Math.cos(Math.PI / SIDES)) ** 2;
  const facets: BoreFacet[] = [];
  for (const packed of facetsInBox(tree, min, max)) {
    const normal = facetNormal(tree, packed);
    if (normal === null) continue;
    const corners = [0, 1, 2].map((c): BorePoint => {
      const from = cornerOf(tree, packed, c);
      const way: Vec3 = [from[0] - mouth[0], from[1] - mouth[1], from[2] - mouth[2]];
      return [dot(way, u), dot(way, v), dot(way, axis)];
    });
    const whole = corners.every(([x, y, z]) => x * x + y * y <= within && z >= fromDepth && z <= toDepth);
    const polygon = whole ? corners : planes.reduce(clipped, corners as readonly BorePoint[]);
    if (polygon.length >= 3) facets.push({ packed, polygon, normal });
  }
  return facets;
}

type Plane = readonly [a: number, b: number, c: number, d: number];

/** Half-spaces a·x ≤ d that make up the bore. */
function borePlanes(radius: number, from: number, to: number): Plane[] {
  const sides = Array.from({ length: SIDES }, (_, n): Plane => {
    const turn = (2 * Math.PI * n) / SIDES;
    return [Math.cos(turn), Math.sin(turn), 0, radius];
  });
  return [[0, 0, 1, to], [0, 0, -1, -from], ...sides];
}

/** What of a polygon seen along a bore lies between two depths. */
export const betweenDepths = (
  polygon: readonly BorePoint[],
  from: number,
  to: number,
): readonly BorePoint[] => clipped(clipped(polygon, [0, 0, 1, to]), [0, 0, -1, -from]);

/** Sutherland & Hodgman 1974. */
function clipped(polygon: readonly BorePoint[], [a, b, c, d]: Plane): readonly BorePoint[] {
  const over = polygon.map(([x, y, z]) => a * x + b * y + c * z - d);
  if (over.every((value) => value <= 0)) return polygon;
  const kept: BorePoint[] = [];
  polygon.forEach((point, n) => {
    const next = (n + 1) % polygon.length;
    if (over[n]! <= 0) kept.push(point);
    if (over[n]! <= 0 !== over[next]! <= 0) {
      const t = over[n]! / (over[n]! - over[next]!);
      kept.push(
        [0, 1, 2].map((k) => point[k]! + t * (polygon[next]![k]! - point[k]!)) as unknown as BorePoint,
      );
    }
  });
  return kept;
}

export function polygonArea(polygon: readonly BorePoint[]): number {
  let x = 0;
  let y = 0;
  let z = 0;
  const [o] = polygon as [BorePoint];
  for (let n = 1; n + 1 < polygon.length; n++) {
    const [ux, uy, uz] = [0, 1, 2].map((k) => polygon[n]![k]! - o[k]!) as [number, number, number];
    const [vx, vy, vz] = [0, 1, 2].map((k) => polygon[n + 1]![k]! - o[k]!) as [number, number, number];
    x += uy * vz - uz * vy;
    y += uz * vx - ux * vz;
    z += ux * vy - uy * vx;
  }
  return Math.hypot(x, y, z) / 2;
}

/** Distance of a polygon from the axis. */
export function polygonClearance(polygon: readonly BorePoint[]): number {
  let inside = true;
  let least = Infinity;
  let turn = 0;
  polygon.forEach(([x, y], n) => {
    const [nx, ny] = polygon[(n + 1) % polygon.length]!;
    const [ex, ey] = [nx - x, ny - y];
    const length = ex * ex + ey * ey;
    const t = length > 0 ? Math.min(1, Math.max(0, -(x * ex + y * ey) / length)) : 0;
    least = Math.min(least, Math.hypot(x + t * ex, y + t * ey));
    const side = Math.sign(x * ny - y * nx);
    if (side !== 0 && turn !== 0 && side !== turn) inside = false;
    if (side !== 0) turn = side;
  });
  return inside && turn !== 0 ? 0 : least;
}

export function facetNormal(tree: FacetTree, packed: number): Vec3 | null {
  const [a, b, c] = [0, 1, 2].map((n) => cornerOf(tree, packed, n)) as [Vec3, Vec3, Vec3];
  const u = [b[0] - a[0], b[1] - a[1], b[2] - a[2]] as const;
  const v = [c[0] - a[0], c[1] - a[1], c[2] - a[2]] as const;
  const n: Vec3 = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  const length = Math.hypot(...n);
  return length > 0 ? [n[0] / length, n[1] / length, n[2] / length] : null;
}

function cornerOf({ corners }: FacetTree, packed: number, corner: number): Vec3 {
  const o = 9 * packed + 3 * corner;
  return [corners[o]!, corners[o + 1]!, corners[o + 2]!];
}

/**
 * The facets among these that hang together with facet `start` (by shared vertices) and whose normals
 * are within `leastCosine` of `facing`. `start` itself need not face that way.
 */
export function connectedFacets(
  tree: FacetTree,
  facets: readonly BoreFacet[],
  start: number,
  facing: Vec3,
  leastCosine: number,
): Set<number> {
  const candidates = facets.filter(({ normal }) => dot(normal, facing) >= leastCosine);
  const atVertex = new Map<number, number[]>();
  for (const { packed } of candidates) {
    for (const vertex of verticesOf(tree, packed)) {
      const there = atVertex.get(vertex);
      if (there) there.push(packed);
      else atVertex.set(vertex, [packed]);
    }
  }
  const reached = new Set<number>(
    candidates.filter(({ packed }) => packed === start).map(({ packed }) => packed),
  );
  const open = [start];
  for (let packed = open.pop(); packed !== undefined; packed = open.pop()) {
    for (const vertex of verticesOf(tree, packed)) {
      for (const other of atVertex.get(vertex) ?? []) {
        if (reached.has(other)) continue;
        reached.add(other);
        open.push(other);
      }
      atVertex.delete(vertex);
    }
  }
  return reached;
}

const verticesOf = ({ triangles, facet }: FacetTree, packed: number): Uint32Array =>
  triangles.subarray(3 * facet[packed]!, 3 * facet[packed]! + 3);
