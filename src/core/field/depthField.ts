import type { Interrupter } from '../interrupter.ts';
import { type BrickMeasurer, brickSide, type FieldSurface, SHALLOW } from './fieldKernel.ts';
import { BRICK, BRICK_NODES, type FieldLattice } from './fieldLattice.ts';
import type { SliceRequest } from './hollowSlice.ts';
import { type BrickKeeper, bricksAtKept, keepBrick } from './keepBrick.ts';
import type { SurfaceSamples } from './surfaceSamples.ts';

/**
 * Signed true distance to a surface (depth: positive inside), kept only where it passes `level`.
 * A brick is either uniform (all of its nodes lie on one side of the level, none within a spacing of
 * it) or has a slot with all its nodes. Node `local` of slot s stands at s·512 + local, local =
 * i + 8·j + 64·k within the brick.
 */
export interface DepthField {
  readonly lattice: FieldLattice;
  readonly level: number;
  /** Slot by brick, −1 when uniform. */
  readonly slotOf: Int32Array;
  /** Brick by slot. */
  readonly brickOf: Uint32Array;
  /** Bricks are measured in the layers [layerFrom − 1, layerTo + 1) only; those of [layerFrom, layerTo) are the field's own. */
  readonly layerFrom: number;
  readonly layerTo: number;
  /** 1 for uniform bricks deeper than the level. */
  readonly deepBrick: Uint8Array;
  /** Depth by node of the slots: measured where `facet` is ≥ 0, else right only in its side of the level. */
  readonly depth: Float32Array;
  /**
   * Closest facet of the nodes within a spacing of the level, as the probe names it; the number after
   * the last facet where only a region kept solid is near; −1 elsewhere.
   */
  readonly facet: Int32Array;
}

/**
 * Builds the field of some layers of bricks, and of the layer before and after them. A brick without
 * any node near the level is uniform. What the keeper keeps solid is shallow, and counted in its own
 * layers. Null when more than `maxNodes` would be kept.
 */
export function buildDepthField(
  surface: FieldSurface,
  measurer: BrickMeasurer,
  keeper: BrickKeeper,
  { layerFrom, layerTo, maxNodes }: Pick<SliceRequest, 'layerFrom' | 'layerTo' | 'maxNodes'>,
  interrupter: Interrupter,
): DepthField | null {
  const { lattice, level, samples, reachMm } = surface;
  const [nx, ny, nz] = lattice.bricks;
  const from = nx * ny * Math.max(0, layerFrom - 1);
  const to = nx * ny * Math.min(nz, layerTo + 1);
  // Pages that are never written cost nothing.
  const atSurface = sampledBricks(samples, lattice, from, to, reachMm) + bricksAtKept(keeper, from, to);
  const most = Math.min(maxNodes, BRICK_NODES * atSurface);
  const depth = new Float32Array(most + BRICK_NODES);
  const facet = new Int32Array(most + BRICK_NODES);
  const deepBrick = new Uint8Array(nx * ny * nz);
  const slotOf = new Int32Array(nx * ny * nz).fill(-1);
  const kept: number[] = [];
  const isKeeping = keeper.regions.length > 0;
  for (let brick = from; brick < to; brick++) {
    if ((brick & 63) === 0) interrupter((brick - from) / (to - from));
    const measured = measurer.measureBrick(brick);
    const at = kept.length * BRICK_NODES;
    const isFull = at + BRICK_NODES > maxNodes;
    if (measured === brickSide.passes) {
      if (isFull) return null;
      depth.set(measurer.depth, at);
      facet.set(measurer.facet, at);
    }
    const isOwn = brick >= nx * ny * layerFrom && brick < nx * ny * layerTo;
    const side = isKeeping ? keepBrick(keeper, brick, measured, depth, facet, at, isOwn) : measured;
    if (side === brickSide.deep) deepBrick[brick] = 1;
    if (side !== brickSide.passes) continue;
    if (isFull) return null;
    slotOf[brick] = kept.length;
    kept.push(brick);
  }
  const nodes = kept.length * BRICK_NODES;
  return withDoubtfulBricks({
    lattice,
    level,
    layerFrom,
    layerTo,
    slotOf,
    brickOf: Uint32Array.from(kept),
    deepBrick,
    depth: depth.subarray(0, nodes),
    facet: facet.subarray(0, nodes),
  });
}

/** How many bricks of the range have samples in them or within reach. */
function sampledBricks(
  { start }: SurfaceSamples,
  { spacing, bricks }: FieldLattice,
  from: number,
  to: number,
  reachMm: number,
): number {
  const [nx, ny, nz] = bricks;
  const steps = Math.ceil(reachMm / (BRICK * spacing));
  let count = 0;
  for (let brick = from; brick < to; brick++) {
    const i = brick % nx;
    const j = Math.floor(brick / nx) % ny;
    const k = Math.floor(brick / (nx * ny));
    const first = Math.max(0, i - steps);
    const last = Math.min(nx, i + steps + 1);
    let isSampled = false;
    for (let c = Math.max(0, k - steps); c <= Math.min(nz - 1, k + steps) && !isSampled; c++) {
      for (let b = Math.max(0, j - steps); b <= Math.min(ny - 1, j + steps) && !isSampled; b++) {
        const row = nx * (b + ny * c);
        isSampled = start[row + first]! < start[row + last]!;
      }
    }
    if (isSampled) count++;
  }
  return count;
}

/**
 * Uniform bricks that have a node of the other side next to them. There are none where depths are
 * exact; an error of the samples must not tear the surface.
 */
function doubtfulBricks(field: DepthField): number[] {
  const { layerFrom, layerTo } = field;
  const [nx, ny, nz] = field.lattice.bricks;
  const first = Math.max(0, layerFrom - 1);
  const last = Math.min(nz, layerTo + 1);
  const doubtful: number[] = [];
  for (let brick = nx * ny * first; brick < nx * ny * last; brick++) {
    if (field.slotOf[brick]! >= 0) continue;
    const i = brick % nx;
    const j = Math.floor(brick / nx) % ny;
    const k = Math.floor(brick / (nx * ny));
    if (neighboursDisagree(field, i, j, k, first, last)) doubtful.push(brick);
  }
  return doubtful;
}

/** Whether a uniform brick has a node of the other side next to it, in layers of bricks [first, last). */
function neighboursDisagree(
  field: DepthField,
  i: number,
  j: number,
  k: number,
  first: number,
  last: number,
): boolean {
  const [nx, ny] = field.lattice.bricks;
  const side = field.deepBrick[i + nx * (j + ny * k)]!;
  for (let c = k > first ? -1 : 0; c <= (k + 1 < last ? 1 : 0); c++) {
    for (let b = j > 0 ? -1 : 0; b <= (j + 1 < ny ? 1 : 0); b++) {
      for (let a = i > 0 ? -1 : 0; a <= (i + 1 < nx ? 1 : 0); a++) {
        if (faceDisagrees(field, i + a + nx * (j + b + ny * (k + c)), a, b, c, side)) return true;
      }
    }
  }
  return false;
}

/** Whether a neighbour brick, reached by the steps (a, b, c), has a node of another side on the part of its border that faces back. */
function faceDisagrees(
  { slotOf, deepBrick, depth, level }: DepthField,
  neighbour: number,
  a: number,
  b: number,
  c: number,
  side: number,
): boolean {
  const slot = slotOf[neighbour]!;
  if (slot < 0) return deepBrick[neighbour] !== side;
  const last = BRICK - 1;
  for (let z = c < 0 ? last : 0; z <= (c > 0 ? 0 : last); z++) {
    for (let y = b < 0 ? last : 0; y <= (b > 0 ? 0 : last); y++) {
      const row = slot * BRICK_NODES + BRICK * (y + BRICK * z);
      for (let x = a < 0 ? last : 0; x <= (a > 0 ? 0 : last); x++)
        if ((depth[row + x]! > level ? 1 : 0) !== side) return true;
    }
  }
  return false;
}

/** Gives slots to doubtful bricks too; their nodes' depths tell no more than the side. */
function withDoubtfulBricks(field: DepthField): DepthField {
  const bricks = doubtfulBricks(field);
  if (bricks.length === 0) return field;
  const slots = field.brickOf.length;
  const depth = new Float32Array((slots + bricks.length) * BRICK_NODES);
  const facet = new Int32Array(depth.length).fill(-1, field.facet.length);
  depth.set(field.depth);
  facet.set(field.facet);
  bricks.forEach((brick, n) => {
    field.slotOf[brick] = slots + n;
    const at = (slots + n) * BRICK_NODES;
    depth.fill(field.deepBrick[brick] === 1 ? Infinity : SHALLOW, at, at + BRICK_NODES);
  });
  return { ...field, brickOf: Uint32Array.from([...field.brickOf, ...bricks]), depth, facet };
}

/** Whether node (i, j, k), anywhere in the lattice, lies deeper than the level. */
export function nodeIsDeep(field: DepthField, i: number, j: number, k: number): boolean {
  const [nx, ny] = field.lattice.bricks;
  const brick = (i >> 3) + nx * ((j >> 3) + ny * (k >> 3));
  const slot = field.slotOf[brick]!;
  if (slot < 0) return field.deepBrick[brick] === 1;
  return field.depth[slot * BRICK_NODES + localNode(i, j, k)]! > field.level;
}

export const localNode = (i: number, j: number, k: number): number =>
  (i & 7) + BRICK * ((j & 7) + BRICK * (k & 7));
