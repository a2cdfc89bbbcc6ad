import type { Interrupter } from '../interrupter.ts';
import type { RayGrid } from '../rays/rayGrid.ts';
import type { BoundingSlabs } from './boundingSlabs.ts';
import { type ClosestPoint, closestPoint, closestPointScratch } from './closestPoint.ts';
import type { FacetTree } from './facetTree.ts';
import { closestNear, enterBlock, type NearFacets, nearFacets, scanNear } from './nearFacets.ts';

/** Nodes along a brick's edge. */
export const BRICK = 8;
export const BRICK_NODES = BRICK * BRICK * BRICK;

/** Node (i, j, k) lies at origin + spacing·(i, j, k); counts are in bricks of 8 nodes. */
export interface FieldLattice {
  readonly origin: readonly [number, number, number];
  readonly spacing: number;
  readonly bricks: readonly [number, number, number];
}

/**
 * Signed true distance to a surface (depth: positive inside), kept only where it passes `level`.
 * A brick is either uniform (all of its nodes and the next layer of nodes lie on one side of the
 * level) or has a slot with all its nodes. Node `local` of slot s stands at s·512 + local, local =
 * i + 8·j + 64·k within the brick.
 */
export interface DepthField {
  readonly lattice: FieldLattice;
  readonly level: number;
  readonly tree: FacetTree;
  /** Null to ask the tree itself every time: slow, an oracle for tests. */
  readonly slabs: BoundingSlabs | null;
  readonly grid: RayGrid;
  /** Slot by brick, −1 when uniform. */
  readonly slotOf: Int32Array;
  /** Brick by slot. */
  readonly brickOf: Uint32Array;
  /**
   * Depth at the middle node of every brick: exact in bricks with a slot, up to a tenth too great in
   * uniform ones inside, −∞ outside further from the surface than half the brick's diagonal.
   */
  readonly brickDepth: Float32Array;
  /** Closest facet (packed) to the middle node of every brick, −1 where the depth is −∞. */
  readonly brickFacet: Int32Array;
  /** Depth by node of the slots: exact where `facet` is ≥ 0, else right only in its side of the level. */
  readonly depth: Float32Array;
  readonly facet: Int32Array;
}

/** True when the winding number at a node is at least 1. */
export function nodeIsInside(
  field: Pick<DepthField, 'lattice' | 'grid'>,
  i: number,
  j: number,
  k: number,
): boolean {
  const { grid, lattice } = field;
  const row = k * grid.lattice.rows + j;
  const x = lattice.origin[0] + i * lattice.spacing;
  let winding = 0;
  const end = grid.offsets[row + 1]!;
  for (let c = grid.offsets[row]!; c < end && grid.x[c]! < x; c++) winding += grid.jump[c]!;
  return winding >= 1;
}

/**
 * Builds the field coarse to fine: depth changes by no more than the way gone (it is 1-Lipschitz),
 * so one exact depth settles a whole cube whose half diagonal is less than |depth − level|; only
 * cubes that the level may pass are divided. Returns null when more than `maxNodes` would be kept.
 */
export function buildDepthField(
  tree: FacetTree,
  grid: RayGrid,
  lattice: FieldLattice,
  level: number,
  maxNodes: number,
  slabs: BoundingSlabs | null,
  interrupter: Interrupter,
): DepthField | null {
  const total = lattice.bricks[0] * lattice.bricks[1] * lattice.bricks[2];
  const brickDepth = new Float32Array(total);
  const brickFacet = new Int32Array(total);
  const slotOf = new Int32Array(total).fill(-1);
  const base = { lattice, level, tree, slabs, grid, slotOf, brickDepth, brickFacet };
  const slots = measureBricks(base, (fraction) => interrupter(0.2 * fraction));
  if (slots * BRICK_NODES > maxNodes) return null;
  const brickOf = new Uint32Array(slots);
  for (let brick = 0; brick < total; brick++) if (slotOf[brick]! >= 0) brickOf[slotOf[brick]!] = brick;
  const depth = new Float32Array(slots * BRICK_NODES);
  const facet = new Int32Array(slots * BRICK_NODES).fill(-1);
  const field: DepthField = { ...base, brickOf, depth, facet };
  // Further from the level than the reach of a cube of two nodes no depth need be exact.
  const near = nearFacets(tree, BRICK, lattice.spacing, level + 2 * lattice.spacing, slabs, true);
  const found = closestPointScratch();
  for (let slot = 0; slot < slots; slot++) {
    if ((slot & 15) === 0) interrupter(0.2 + (0.8 * slot) / slots);
    fillBrick(field, near, slot, found);
  }
  return field;
}

type BareField = Pick<
  DepthField,
  'lattice' | 'level' | 'tree' | 'slabs' | 'grid' | 'slotOf' | 'brickDepth' | 'brickFacet'
>;

/** Bricks far from the level are measured no finer than this: their depth may come out so many times too great. */
const FAR_EXCESS = 1.1;

/** Measures every brick's middle and gives slots to those the level may pass; returns their number. */
function measureBricks(field: BareField, interrupter: Interrupter): number {
  const { lattice, level, slotOf, brickDepth, brickFacet } = field;
  const [nx, ny, nz] = lattice.bricks;
  const reach = (BRICK / 2) * Math.sqrt(3) * lattice.spacing;
  const found = closestPointScratch();
  let slots = 0;
  let brick = 0;
  let hint = -1;
  for (let bz = 0; bz < nz; bz++) {
    for (let by = 0; by < ny; by++) {
      interrupter(brick / slotOf.length);
      for (let bx = 0; bx < nx; bx++, brick++) {
        const depth = measureMiddle(field, bx, by, bz, reach, hint, found);
        if (found.packed >= 0) hint = found.packed;
        brickDepth[brick] = depth;
        brickFacet[brick] = found.packed;
        if (Math.abs(depth - level) <= reach) slotOf[brick] = slots++;
      }
    }
  }
  return slots;
}

/** Depth at a brick's middle as `brickDepth` has it; the closest facet is left in `found`. */
function measureMiddle(
  field: BareField,
  bx: number,
  by: number,
  bz: number,
  reach: number,
  hint: number,
  found: ClosestPoint,
): number {
  const { lattice, level, tree } = field;
  const [i, j, k] = [BRICK * bx + BRICK / 2, BRICK * by + BRICK / 2, BRICK * bz + BRICK / 2];
  const x = lattice.origin[0] + i * lattice.spacing;
  const y = lattice.origin[1] + j * lattice.spacing;
  const z = lattice.origin[2] + k * lattice.spacing;
  if (!nodeIsInside(field, i, j, k)) {
    closestPoint(tree, x, y, z, -1, found, reach * reach);
    return found.packed < 0 ? -Infinity : -Math.sqrt(found.squared);
  }
  closestPoint(tree, x, y, z, hint, found, Infinity, FAR_EXCESS);
  const most = Math.sqrt(found.squared);
  if (most / FAR_EXCESS - level > reach) return most;
  closestPoint(tree, x, y, z, found.packed, found);
  return Math.sqrt(found.squared);
}

/** Exact signed depth at a node; the closest point is left in `found`. */
export function measureNode(
  field: BareField,
  near: NearFacets,
  i: number,
  j: number,
  k: number,
  hint: number,
  found: ClosestPoint,
): number {
  const { origin, spacing } = field.lattice;
  closestNear(near, origin[0] + i * spacing, origin[1] + j * spacing, origin[2] + k * spacing, hint, found);
  const distance = Math.sqrt(found.squared);
  return nodeIsInside(field, i, j, k) ? distance : -distance;
}

/** As `measureNode`, but beyond the reach of `near` no more than the reach is told, and no facet. */
function measureWithinReach(
  field: BareField,
  near: NearFacets,
  size: number,
  i: number,
  j: number,
  k: number,
  hint: number,
  found: ClosestPoint,
): number {
  const { origin, spacing } = field.lattice;
  const isNear = scanNear(
    near,
    size > 1 ? near.large : near.small,
    origin[0] + i * spacing,
    origin[1] + j * spacing,
    origin[2] + k * spacing,
    hint,
    found,
  );
  if (!isNear) found.packed = -1;
  const distance = isNear ? Math.sqrt(found.squared) : near.reachMm;
  return nodeIsInside(field, i, j, k) ? distance : -distance;
}

function fillBrick(field: DepthField, near: NearFacets, slot: number, found: ClosestPoint): void {
  const { origin, spacing, bricks } = field.lattice;
  const [nx, ny] = bricks;
  const brick = field.brickOf[slot]!;
  const i = BRICK * (brick % nx);
  const j = BRICK * (Math.floor(brick / nx) % ny);
  const k = BRICK * Math.floor(brick / (nx * ny));
  enterBlock(near, origin[0] + i * spacing, origin[1] + j * spacing, origin[2] + k * spacing);
  const hint = field.brickFacet[brick]!;
  for (let child = 0; child < 8; child++) {
    const x = 4 * (child & 1);
    const y = 4 * ((child >> 1) & 1);
    const z = 4 * (child >> 2);
    fillCube(field, near, slot, i, j, k, x, y, z, 4, hint, found);
  }
}

/** Settles the cube of `size` nodes at local (x, y, z) of the brick whose first node is (i, j, k). */
function fillCube(
  field: DepthField,
  near: NearFacets,
  slot: number,
  i: number,
  j: number,
  k: number,
  x: number,
  y: number,
  z: number,
  size: number,
  hint: number,
  found: ClosestPoint,
): void {
  const half = size >> 1;
  const at = slot * BRICK_NODES + x + BRICK * (y + BRICK * z);
  const depth = measureWithinReach(field, near, size, i + x + half, j + y + half, k + z + half, hint, found);
  const nearest = found.packed;
  if (size > 1 && Math.abs(depth - field.level) > half * Math.sqrt(3) * field.lattice.spacing) {
    for (let c = 0; c < size; c++) {
      for (let b = 0; b < size; b++) {
        const row = at + BRICK * (b + BRICK * c);
        field.depth.fill(depth, row, row + size);
      }
    }
    return;
  }
  if (size === 1) {
    field.depth[at] = depth;
    field.facet[at] = nearest;
    return;
  }
  for (let child = 0; child < 8; child++) {
    const dx = half * (child & 1);
    const dy = half * ((child >> 1) & 1);
    const dz = half * (child >> 2);
    if (half === 1 && child === 7) {
      // The cube's own sample is its last node.
      const own = at + dx + BRICK * (dy + BRICK * dz);
      field.depth[own] = depth;
      field.facet[own] = nearest;
    } else fillCube(field, near, slot, i, j, k, x + dx, y + dy, z + dz, half, nearest, found);
  }
}

/** Whether node (i, j, k), anywhere in the lattice, lies deeper than the level. */
export function nodeIsDeep(field: DepthField, i: number, j: number, k: number): boolean {
  const [nx, ny] = field.lattice.bricks;
  const brick = (i >> 3) + nx * ((j >> 3) + ny * (k >> 3));
  const slot = field.slotOf[brick]!;
  const depth = slot < 0 ? field.brickDepth[brick]! : field.depth[slot * BRICK_NODES + localNode(i, j, k)]!;
  return depth > field.level;
}

export const localNode = (i: number, j: number, k: number): number =>
  (i & 7) + BRICK * ((j & 7) + BRICK * (k & 7));
