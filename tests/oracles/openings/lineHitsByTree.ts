import {
  childEnd,
  childStart,
  type FacetTree,
  leafEnd,
  leafStart,
} from '../../../src/core/field/facetTree.ts';
import type { Vec3 } from '../../../src/core/vector.ts';

/** Where a line meets a facet. */
export interface LineHit {
  /** Distance along the line, in units of the direction given. */
  readonly at: number;
  /** Packed facet number. */
  readonly packed: number;
  /** True when the line goes in there (against the facet's normal). */
  readonly entering: boolean;
}

/** Crossings of the same sense nearer to each other than this are one, met on a shared edge. */
const SAME_HIT = 1e-5;
/** How far beyond its edges a facet still counts as hit, as a part of it: no line slips between two. */
const EDGE_SLACK = 1e-9;

/** All crossings of origin + t·direction with t in [from, to], ascending. Möller & Trumbore 1997. */
export function lineHits(
  tree: FacetTree,
  origin: Vec3,
  direction: Vec3,
  from: number,
  to: number,
): LineHit[] {
  const hits: LineHit[] = [];
  const stack: [level: number, box: number][] = [[tree.levelStart.length - 2, tree.levelStart.at(-1)! - 1]];
  for (let top = stack.pop(); top; top = stack.pop()) {
    const [level, at] = top;
    if (!lineMeetsBox(tree.boxes, 6 * at, origin, direction, from, to)) continue;
    if (level > 0) {
      for (let child = childStart(tree, level, at); child < childEnd(tree, level, at); child++)
        stack.push([level - 1, child]);
      continue;
    }
    for (let packed = leafStart(at); packed < leafEnd(tree, at); packed++) {
      const hit = hitFacet(tree.corners, packed, origin, direction);
      if (hit && hit.at >= from && hit.at <= to) hits.push(hit);
    }
  }
  hits.sort((a, b) => a.at - b.at || a.packed - b.packed);
  return hits.filter((hit, n) => {
    const before = hits[n - 1];
    return !(before && before.entering === hit.entering && hit.at - before.at < SAME_HIT);
  });
}

function lineMeetsBox(
  boxes: Float32Array,
  box: number,
  origin: Vec3,
  direction: Vec3,
  from: number,
  to: number,
): boolean {
  let low = from;
  let high = to;
  for (let axis = 0; axis < 3; axis++) {
    const near = boxes[box + axis]! - 1e-5 - origin[axis]!;
    const far = boxes[box + 3 + axis]! + 1e-5 - origin[axis]!;
    const way = direction[axis]!;
    if (way === 0) {
      if (near > 0 || far < 0) return false;
      continue;
    }
    low = Math.max(low, Math.min(near / way, far / way));
    high = Math.min(high, Math.max(near / way, far / way));
  }
  return low <= high;
}

function hitFacet(c: Float32Array, packed: number, [ox, oy, oz]: Vec3, [dx, dy, dz]: Vec3): LineHit | null {
  const o = 9 * packed;
  const ux = c[o + 3]! - c[o]!;
  const uy = c[o + 4]! - c[o + 1]!;
  const uz = c[o + 5]! - c[o + 2]!;
  const vx = c[o + 6]! - c[o]!;
  const vy = c[o + 7]! - c[o + 1]!;
  const vz = c[o + 8]! - c[o + 2]!;
  const px = dy * vz - dz * vy;
  const py = dz * vx - dx * vz;
  const pz = dx * vy - dy * vx;
  const determinant = ux * px + uy * py + uz * pz;
  if (determinant === 0) return null;
  const sx = ox - c[o]!;
  const sy = oy - c[o + 1]!;
  const sz = oz - c[o + 2]!;
  const s = (sx * px + sy * py + sz * pz) / determinant;
  const qx = sy * uz - sz * uy;
  const qy = sz * ux - sx * uz;
  const qz = sx * uy - sy * ux;
  const t = (dx * qx + dy * qy + dz * qz) / determinant;
  if (s < -EDGE_SLACK || t < -EDGE_SLACK || s + t > 1 + EDGE_SLACK) return null;
  return { at: (vx * qx + vy * qy + vz * qz) / determinant, packed, entering: determinant > 0 };
}

/** Packed facets whose boxes meet a box, ascending. */
export function facetsInBox(tree: FacetTree, min: Vec3, max: Vec3): number[] {
  const found: number[] = [];
  const stack: [level: number, box: number][] = [[tree.levelStart.length - 2, tree.levelStart.at(-1)! - 1]];
  for (let top = stack.pop(); top; top = stack.pop()) {
    const [level, at] = top;
    if (!boxesMeet(tree.boxes, 6 * at, min, max)) continue;
    if (level === 0)
      for (let packed = leafStart(at); packed < leafEnd(tree, at); packed++) found.push(packed);
    else
      for (let child = childStart(tree, level, at); child < childEnd(tree, level, at); child++)
        stack.push([level - 1, child]);
  }
  return found.sort((a, b) => a - b);
}

function boxesMeet(boxes: Float32Array, box: number, min: Vec3, max: Vec3): boolean {
  for (let axis = 0; axis < 3; axis++) {
    if (boxes[box + axis]! > max[axis]! || boxes[box + 3 + axis]! < min[axis]!) return false;
  }
  return true;
}
