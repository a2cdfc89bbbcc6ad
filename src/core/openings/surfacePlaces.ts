import { type Interrupter, uninterrupted } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { norm, subtract, type Vec3 } from '../vector.ts';
import { leafEnd, leavesWhere, type SurfaceIndex } from './surfaceIndex.ts';

/** A place on a surface, and how far it lies from the point it was asked from. */
export interface SurfacePlace {
  readonly at: Vec3;
  readonly awayMm: number;
}

/** A facet is looked at in pieces of this part of a step. */
const PIECE = 0.5;
/** … but no more of them along an edge: a facet that long is a flat plate's. */
const MOST_PIECES = 400;
const CALL_MASK = 0xff;

/**
 * Places all over the surface that lie further than `nearMm` from a point and no further than `farMm`: for
 * each cube of `stepMm` that the surface passes the nearest one of those looked at, the nearest first.
 * Frame and unit of the surface (mm). The same surface gives the same places, in the same order.
 */
export function surfacePlaces(
  index: SurfaceIndex,
  from: Vec3,
  nearMm: number,
  farMm: number,
  stepMm: number,
  interrupter: Interrupter = uninterrupted,
): SurfacePlace[] {
  const across = 2 * Math.ceil(farMm / stepMm) + 1;
  const cubeOf = (at: Vec3): number =>
    at.reduce((cube, c, axis) => across * cube + Math.floor((c - from[axis]! + farMm) / stepMm), 0);
  const places = new Map<number, SurfacePlace>();
  const leaves = leavesWhere(index, (boxes, box) => boxWithin(boxes, box, from, farMm));
  for (const [n, first] of leaves.entries()) {
    if ((n & CALL_MASK) === 0) interrupter(n / leaves.length);
    const end = leafEnd(index, first);
    for (let facet = first; facet < end; facet++) {
      for (const at of piecesOf(index.mesh, facet, PIECE * stepMm)) {
        const awayMm = norm(subtract(at, from));
        if (!(awayMm > nearMm && awayMm <= farMm)) continue;
        const cube = cubeOf(at);
        if (awayMm < (places.get(cube)?.awayMm ?? Infinity)) places.set(cube, { at, awayMm });
      }
    }
  }
  return [...places.values()].sort((a, b) => a.awayMm - b.awayMm || compare(a.at, b.at));
}

const compare = (a: Vec3, b: Vec3): number => a[0] - b[0] || a[1] - b[1] || a[2] - b[2];

function boxWithin(boxes: Float32Array, box: number, from: Vec3, farMm: number): boolean {
  let squared = 0;
  for (let axis = 0; axis < 3; axis++) {
    const c = from[axis]!;
    const beside = Math.max(boxes[box + axis]! - c, c - boxes[box + 3 + axis]!, 0);
    squared += beside * beside;
  }
  return squared <= farMm * farMm;
}

/** Middles of the like triangles that a facet is cut into, with edges of about `edgeMm`. */
function* piecesOf({ positions, triangles }: Mesh, facet: number, edgeMm: number): Generator<Vec3> {
  const corner = (n: number): Vec3 => {
    const at = 3 * triangles[3 * facet + n]!;
    return [positions[at]!, positions[at + 1]!, positions[at + 2]!];
  };
  const [a, b, c] = [corner(0), corner(1), corner(2)];
  const [u, v] = [subtract(b, a), subtract(c, a)];
  const longest = Math.max(norm(u), norm(v), norm(subtract(c, b)));
  const cuts = Math.min(MOST_PIECES, Math.max(1, Math.ceil(longest / edgeMm)));
  for (let i = 0; i < cuts; i++) {
    for (let j = 0; i + j < cuts; j++) {
      for (const third of i + j + 1 < cuts ? [1, 2] : [1]) {
        const [s, t] = [(i + third / 3) / cuts, (j + third / 3) / cuts];
        yield [a[0] + s * u[0] + t * v[0], a[1] + s * u[1] + t * v[1], a[2] + s * u[2] + t * v[2]];
      }
    }
  }
}
