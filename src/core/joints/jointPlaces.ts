import type { FacetTree } from '../field/facetTree.ts';
import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { buildRayGrid } from '../rays/buildRayGrid.ts';
import { findRun } from '../rays/findRun.ts';
import { type Lattice, rowIndex } from '../rays/lattice.ts';
import type { Runs } from '../rays/runs.ts';
import { solidRuns } from '../rays/solidRuns.ts';
import { type Box, dot, scale, subtract, type Vec3 } from '../vector.ts';
import { type SignedPoint, signedDistances } from './signedDistance.ts';
import { areaWithin, forSurfacePieces } from './surfacePieces.ts';

/** A part in source axes at finished size, mm: closed, outward, its shells united. */
export interface JointBody {
  readonly mesh: Mesh;
  readonly tree: FacetTree;
  readonly bounds: Box;
}

/** A piece of one part's surface that meets the other part. */
export interface JointPlace {
  readonly at: Vec3;
  /** Of the first part's surface: outward where the piece is its own, else against the second's outward normal. */
  readonly outOfFirst: Vec3;
  readonly areaMm2: number;
  /** mm to the other part; negative inside it. */
  readonly gapMm: number;
}

/** Pieces are this far apart, about, and no more of them are looked at on one part. */
const STEP_MM = 0.5;
const MOST_PIECES = 400_000;
/** Of pieces deep in the other part so many ask for their depth, and one in so many thereafter, for all since the last. */
const EACH_DEEP = 2000;
const FEW_DEEP = 16;
/** Rows are this far apart, and no more of them cast. */
const ROW_MM = 0.5;
const MOST_ROWS = 1_000_000;
/** Faces that look at each other: cosine of their normals, and of the way across to the normal. */
const FACING = -0.5;
const ACROSS = 0.8;
/** Nearer than this there is no telling the way across. */
const TOUCHING_MM = 1e-3;

/** Distance between pieces, mm, for two parts that meet in `box`: the same for both. */
export function pieceStep(first: JointBody, second: JointBody, box: Box, interrupter: Interrupter): number {
  const [one, other] = [first, second].map(({ mesh }) => areaWithin(mesh, box, interrupter));
  const areaMm2 = Math.max(one!, other!);
  return Math.max(STEP_MM, Math.sqrt(areaMm2 / MOST_PIECES));
}

/** Rows over the space that both bounds share; null where they share none. */
export function sharedLattice(first: JointBody, second: JointBody): Lattice | null {
  const { min, max } = sharedBox(first.bounds, second.bounds, 0);
  const [deep, high] = [max[1] - min[1], max[2] - min[2]];
  if (!(max[0] > min[0] && deep > 0 && high > 0)) return null;
  const step = Math.max(ROW_MM, Math.sqrt((deep * high) / MOST_ROWS));
  const [rows, layers] = [Math.ceil(deep / step), Math.ceil(high / step)];
  return { y0: min[1], dy: deep / rows, rows, z0: min[2], dz: high / layers, layers };
}

export function sharedBox(a: Box, b: Box, grownMm: number): Box {
  const low = (axis: 0 | 1 | 2): number => Math.max(a.min[axis], b.min[axis]) - grownMm;
  const high = (axis: 0 | 1 | 2): number => Math.min(a.max[axis], b.max[axis]) + grownMm;
  return { min: [low(0), low(1), low(2)], max: [high(0), high(1), high(2)] };
}

export const castSolid = ({ mesh }: JointBody, lattice: Lattice, interrupter: Interrupter): Runs =>
  solidRuns(buildRayGrid(mesh, lattice, interrupter));

/**
 * The pieces of `own` that look at the surface of `other` within `reachMm`, and all that lie inside it.
 * `otherSolid`: the other's rows over the shared space, null where there is none.
 */
export function jointPlaces(
  own: JointBody,
  other: JointBody,
  otherSolid: Runs | null,
  isFirst: boolean,
  box: Box,
  stepMm: number,
  reachMm: number,
  interrupter: Interrupter,
): JointPlace[] {
  const places: JointPlace[] = [];
  const distanceTo = signedDistances(other.tree);
  let deepPieces = 0;
  let owedMm2 = 0;
  const take = (at: Vec3, normal: Vec3, areaMm2: number, gapMm: number): void => {
    places.push({ at, outOfFirst: isFirst ? normal : scale(normal, -1), areaMm2, gapMm });
  };
  // A fold of the surface turns the normals there; what holds for a row of the solid is not deceived by it.
  const sided = (near: SignedPoint, at: Vec3): SignedPoint => {
    const apart = Math.abs(near.distance);
    if (apart <= stepMm) return near;
    const isInside = otherSolid !== null && isWithin(otherSolid, at);
    return { ...near, distance: isInside ? -apart : apart };
  };
  forSurfacePieces(
    own.mesh,
    box,
    stepMm * stepMm,
    (at, normal, areaMm2) => {
      const near = distanceTo(at, reachMm);
      if (near === null) {
        // Further from the surface than a row is from the next: what holds for the row holds for the piece.
        if (otherSolid === null || !isWithin(otherSolid, at)) return;
        owedMm2 += areaMm2;
        if (++deepPieces > EACH_DEEP && deepPieces % FEW_DEEP !== 0) return;
        const deep = distanceTo(at, Infinity);
        if (deep !== null && deep.distance < 0) take(at, normal, owedMm2, deep.distance);
        owedMm2 = 0;
        return;
      }
      const { distance, closest, normal: facing } = sided(near, at);
      if (distance < -TOUCHING_MM) take(at, normal, areaMm2, distance);
      else if (dot(normal, facing) <= FACING && isAcross(subtract(closest, at), normal, distance)) {
        take(at, normal, areaMm2, distance);
      }
    },
    interrupter,
  );
  return places;
}

const isAcross = (way: Vec3, normal: Vec3, distance: number): boolean =>
  distance < TOUCHING_MM || dot(way, normal) >= ACROSS * distance;

function isWithin(solid: Runs, [x, y, z]: Vec3): boolean {
  const { y0, dy, rows, z0, dz, layers } = solid.lattice;
  const [row, layer] = [Math.floor((y - y0) / dy), Math.floor((z - z0) / dz)];
  if (row < 0 || row >= rows || layer < 0 || layer >= layers) return false;
  return findRun(solid, rowIndex(solid.lattice, layer, row), x) >= 0;
}
