import { type BoundingSlabs, SLAB } from './boundingSlabs.ts';
import { type ClosestPoint, closestPoint, closestPointScratch, tryFacet } from './closestPoint.ts';
import { childEnd, childStart, type FacetTree, leafEnd, leafStart } from './facetTree.ts';

/** Cells along the edge of a small cube, and of a large one. */
const SMALL = 2;
const LARGE = 4;
/** Bounds are widened by this for rounding, mm. */
const SLACK = 1e-4;
/** Leaves there is room for at first. */
const LEAVES = 4096;

/**
 * The leaves of a tree that can hold the closest facet of any point of a block of cells: gathered
 * once for the block, thinned for its cubes of 4³ cells and again for those of 2³, each when first
 * asked for. Queries by the thousand in one block then look at some dozen boxes each instead of
 * descending the tree. The distances are the tree's own, exactly: lists are cut by bounds that hold
 * for every point of their cube.
 */
export interface NearFacets {
  readonly tree: FacetTree;
  /** Null for no lists: every query by the tree, for comparison. */
  readonly slabs: BoundingSlabs | null;
  readonly cellMm: number;
  /** No list reaches further than this from its cube, mm. */
  readonly reachMm: number;
  /** Cells along the block's edge. */
  readonly cells: number;
  /** Lowest corner of the block. */
  readonly corner: Float64Array;
  /** Lists of leaves, the block's own first. */
  leaves: Int32Array;
  blockEnd: number;
  filled: number;
  readonly large: CubeLists;
  readonly small: CubeLists;
  readonly found: ClosestPoint;
  /** Leaves one query must look into, and the squares of the least distances they can give. */
  candidates: Int32Array;
  least: Float64Array;
}

/** Where the list of each cube of one size begins and ends in `leaves`; −1 when not made. */
interface CubeLists {
  readonly along: number;
  readonly sizeMm: number;
  /** Edge of the box that holds all points of the cube that are asked for. */
  readonly extentMm: number;
  /** Added to a point's place in the block before it is rounded down to a cube. */
  readonly shiftMm: number;
  readonly start: Int32Array;
  readonly end: Int32Array;
}

/**
 * For blocks of `cells` cells along the edge. `nodesOnly` promises that only the lowest corners of
 * cells are asked for, which makes the lists shorter.
 */
export function nearFacets(
  tree: FacetTree,
  cells: number,
  cellMm: number,
  reachMm: number,
  slabs: BoundingSlabs | null,
  nodesOnly = false,
): NearFacets {
  return {
    tree,
    slabs,
    cellMm,
    reachMm,
    cells,
    corner: new Float64Array(3),
    leaves: new Int32Array(LEAVES),
    blockEnd: -1,
    filled: 0,
    large: cubeLists(cells, LARGE, cellMm, nodesOnly),
    small: cubeLists(cells, SMALL, cellMm, nodesOnly),
    found: closestPointScratch(),
    candidates: new Int32Array(LEAVES),
    least: new Float64Array(LEAVES),
  };
}

function cubeLists(cells: number, size: number, cellMm: number, nodesOnly: boolean): CubeLists {
  const along = Math.ceil(cells / size);
  const start = new Int32Array(along ** 3);
  const extentMm = (nodesOnly ? size - 1 : size) * cellMm;
  // Lowest corners lie on the cubes' faces, where rounding must not decide.
  const shiftMm = nodesOnly ? cellMm / 2 : 0;
  return { along, sizeMm: size * cellMm, extentMm, shiftMm, start, end: start.slice() };
}

/** Moves the block so that its lowest corner is (x, y, z). */
export function enterBlock(near: NearFacets, x: number, y: number, z: number): void {
  near.corner[0] = x;
  near.corner[1] = y;
  near.corner[2] = z;
  near.blockEnd = -1;
  near.large.start.fill(-1);
  near.small.start.fill(-1);
}

/** As `closestPoint`, and faster for points that lie in the block and within reach of the surface. */
export function closestNear(
  near: NearFacets,
  x: number,
  y: number,
  z: number,
  hint: number,
  found: ClosestPoint,
): void {
  if (!scanNear(near, near.small, x, y, z, hint, found))
    closestPoint(near.tree, x, y, z, found.packed, found);
}

/**
 * Looks through the list of the cube that holds the point. True when the closest facet lies within
 * reach: `found` is right. False when none does or the point lies outside the block: `found.packed`
 * is then no more than a hint.
 */
export function scanNear(
  near: NearFacets,
  lists: CubeLists,
  x: number,
  y: number,
  z: number,
  hint: number,
  found: ClosestPoint,
): boolean {
  if (near.slabs === null) {
    closestPoint(near.tree, x, y, z, hint, found);
    return true;
  }
  const cube = cubeAt(near, lists, x, y, z);
  found.packed = hint;
  found.squared = Infinity;
  if (cube < 0) return false;
  if (lists.start[cube]! < 0) {
    if (lists === near.small) thinSmall(near, cube, hint);
    else thinLarge(near, cube, hint);
  }
  scanList(near, near.slabs, lists.start[cube]!, lists.end[cube]!, x, y, z, hint, found);
  return found.squared <= near.reachMm * near.reachMm;
}

/** Number of the cube that holds a point, −1 outside the block. */
function cubeAt(
  { corner, cells, cellMm }: NearFacets,
  lists: CubeLists,
  x: number,
  y: number,
  z: number,
): number {
  const u = x - corner[0]!;
  const v = y - corner[1]!;
  const w = z - corner[2]!;
  const side = cells * cellMm + SLACK / 2;
  if (!(u > -SLACK / 2 && v > -SLACK / 2 && w > -SLACK / 2 && u < side && v < side && w < side)) return -1;
  const { along, sizeMm, shiftMm } = lists;
  const i = Math.max(0, Math.min(Math.floor((u + shiftMm) / sizeMm), along - 1));
  const j = Math.max(0, Math.min(Math.floor((v + shiftMm) / sizeMm), along - 1));
  const k = Math.max(0, Math.min(Math.floor((w + shiftMm) / sizeMm), along - 1));
  return i + along * (j + along * k);
}

/**
 * The slab test stands here twice, written out: as a function of its own it would be called with
 * boxed numbers, which costs more than the test.
 */
function scanList(
  near: NearFacets,
  { leaves: leafSlabs, facets: facetSlabs }: BoundingSlabs,
  start: number,
  end: number,
  x: number,
  y: number,
  z: number,
  hint: number,
  found: ClosestPoint,
): void {
  const { tree, leaves, candidates, least } = near;
  const { corners } = tree;
  found.packed = -1;
  found.squared = Infinity;
  if (hint >= 0) tryFacet(corners, hint, x, y, z, found);
  let bound = found.squared;
  let count = 0;
  let first = 0;
  let lowest = Infinity;
  for (let n = start; n < end; n++) {
    const leaf = leaves[n]!;
    const at = SLAB * leaf;
    const dx = x - leafSlabs[at]!;
    const dy = y - leafSlabs[at + 1]!;
    const dz = z - leafSlabs[at + 2]!;
    const off = leafSlabs[at + 3]! * dx + leafSlabs[at + 4]! * dy + leafSlabs[at + 5]! * dz;
    const h = Math.abs(off) - leafSlabs[at + 7]!;
    let squared = h > 0 ? h * h : 0;
    if (squared >= bound) continue;
    const radius = leafSlabs[at + 6]!;
    const along = dx * dx + dy * dy + dz * dz - off * off;
    if (along > radius * radius) {
      const t = Math.sqrt(along) - radius;
      squared += t * t;
      if (squared >= bound) continue;
    }
    if (squared < lowest) {
      lowest = squared;
      first = count;
    }
    least[count] = squared;
    candidates[count++] = leaf;
  }
  // The most promising leaf goes first: it settles most of the others.
  for (let n = -1; n < count; n++) {
    if (n < 0 ? count === 0 : n === first || least[n]! >= bound) continue;
    const leaf = candidates[n < 0 ? first : n]!;
    const last = leafEnd(tree, leaf);
    for (let i = leafStart(leaf); i < last; i++) {
      const at = SLAB * i;
      const dx = x - facetSlabs[at]!;
      const dy = y - facetSlabs[at + 1]!;
      const dz = z - facetSlabs[at + 2]!;
      const off = facetSlabs[at + 3]! * dx + facetSlabs[at + 4]! * dy + facetSlabs[at + 5]! * dz;
      const h = Math.abs(off) - facetSlabs[at + 7]!;
      let squared = h > 0 ? h * h : 0;
      if (squared >= bound) continue;
      const radius = facetSlabs[at + 6]!;
      const along = dx * dx + dy * dy + dz * dz - off * off;
      if (along > radius * radius) {
        const t = Math.sqrt(along) - radius;
        squared += t * t;
        if (squared >= bound) continue;
      }
      tryFacet(corners, i, x, y, z, found);
      bound = found.squared;
    }
  }
}

function thinLarge(near: NearFacets, cube: number, hint: number): void {
  if (near.blockEnd < 0) gatherBlock(near);
  thin(near, near.large, cube, hint, 0, near.blockEnd);
}

function thinSmall(near: NearFacets, cube: number, hint: number): void {
  const { along } = near.small;
  const ratio = LARGE / SMALL;
  const i = Math.floor((cube % along) / ratio);
  const j = Math.floor((Math.floor(cube / along) % along) / ratio);
  const k = Math.floor(Math.floor(cube / (along * along)) / ratio);
  const parent = i + near.large.along * (j + near.large.along * k);
  if (near.large.start[parent]! < 0) thinLarge(near, parent, hint);
  thin(near, near.small, cube, hint, near.large.start[parent]!, near.large.end[parent]!);
}

/**
 * Lists those of the leaves in [from, to) that may matter in a cube: no point of it lies further
 * from the surface than its middle does, by more than half its diagonal.
 */
function thin(
  near: NearFacets,
  lists: CubeLists,
  cube: number,
  hint: number,
  from: number,
  to: number,
): void {
  const { corner, found, reachMm } = near;
  const { along, sizeMm, extentMm } = lists;
  const x = corner[0]! + sizeMm * (cube % along);
  const y = corner[1]! + sizeMm * (Math.floor(cube / along) % along);
  const z = corner[2]! + sizeMm * Math.floor(cube / (along * along));
  const half = extentMm / 2;
  scanList(near, near.slabs!, from, to, x + half, y + half, z + half, hint, found);
  const bound = Math.min(reachMm, Math.sqrt(found.squared) + half * Math.sqrt(3));
  if (near.filled + to - from > near.leaves.length) growLeaves(near, near.filled + to - from);
  lists.start[cube] = near.filled;
  near.filled = keepWithin(near, x, y, z, extentMm, bound, from, to);
  lists.end[cube] = near.filled;
}

/** Appends the leaves of [from, to) whose boxes lie within `bound` of a cube; returns the new end. */
function keepWithin(
  { tree, leaves, filled }: NearFacets,
  x: number,
  y: number,
  z: number,
  extentMm: number,
  bound: number,
  from: number,
  to: number,
): number {
  const { boxes } = tree;
  const farX = x + extentMm;
  const farY = y + extentMm;
  const farZ = z + extentMm;
  const most = (bound + SLACK) ** 2;
  let end = filled;
  for (let n = from; n < to; n++) {
    const b = 6 * leaves[n]!;
    let d = boxes[b]! - farX;
    if (d < 0) {
      d = x - boxes[b + 3]!;
      if (d < 0) d = 0;
    }
    let squared = d * d;
    d = boxes[b + 1]! - farY;
    if (d < 0) {
      d = y - boxes[b + 4]!;
      if (d < 0) d = 0;
    }
    squared += d * d;
    d = boxes[b + 2]! - farZ;
    if (d < 0) {
      d = z - boxes[b + 5]!;
      if (d < 0) d = 0;
    }
    if (squared + d * d <= most) leaves[end++] = leaves[n]!;
  }
  return end;
}

/** Lists the leaves whose boxes lie within reach of the block. */
function gatherBlock(near: NearFacets): void {
  const { tree, found, corner, cells, cellMm, reachMm } = near;
  const { boxes, levelStart } = tree;
  const { stackBox, stackLevel } = found;
  const reach = reachMm + SLACK;
  const side = cells * cellMm;
  const most = reach * reach;
  let end = 0;
  stackBox[0] = levelStart.at(-1)! - 1;
  stackLevel[0] = levelStart.length - 2;
  for (let depth = 1; depth > 0; ) {
    depth--;
    const at = stackBox[depth]!;
    const level = stackLevel[depth]!;
    const b = 6 * at;
    const dx = Math.max(boxes[b]! - corner[0]! - side, corner[0]! - boxes[b + 3]!, 0);
    const dy = Math.max(boxes[b + 1]! - corner[1]! - side, corner[1]! - boxes[b + 4]!, 0);
    const dz = Math.max(boxes[b + 2]! - corner[2]! - side, corner[2]! - boxes[b + 5]!, 0);
    if (dx * dx + dy * dy + dz * dz > most) continue;
    if (level === 0) {
      if (end === near.leaves.length) growLeaves(near, end + 1);
      near.leaves[end++] = at;
      continue;
    }
    const last = childEnd(tree, level, at);
    for (let child = childStart(tree, level, at); child < last; child++) {
      stackBox[depth] = child;
      stackLevel[depth++] = level - 1;
    }
  }
  near.blockEnd = end;
  near.filled = end;
}

function growLeaves(near: NearFacets, least: number): void {
  const grown = new Int32Array(Math.max(least, 2 * near.leaves.length));
  grown.set(near.leaves);
  near.leaves = grown;
  near.candidates = new Int32Array(grown.length);
  near.least = new Float64Array(grown.length);
}
