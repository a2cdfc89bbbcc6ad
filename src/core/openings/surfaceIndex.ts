import { type Interrupter, uninterrupted } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';

/** Facets a leaf holds, and children a branch has. */
const LEAF = 16;
const FAN = 8;
const CALL_MASK = 0xfff;

/**
 * A mesh under boxes of facets that follow each other in it: made in one pass without sorting. Any
 * order of facets gives right answers; one that runs along the surface, as the order of a part and
 * of a cavity does, gives quick ones. Read only: any number of threads may share it.
 */
export interface SurfaceIndex {
  readonly mesh: Mesh;
  /** Six floats a box: min x,y,z, max x,y,z. Leaves first, then level by level, the root last. */
  readonly boxes: Float32Array;
  /** First box of every level, leaves at level 0, and the number of boxes last. */
  readonly levelStart: Uint32Array;
}

export function buildSurfaceIndex(mesh: Mesh, interrupter: Interrupter = uninterrupted): SurfaceIndex {
  const levelStart = levelStarts(mesh.triangles.length / 3);
  const boxes = new Float32Array(6 * levelStart.at(-1)!);
  for (let at = 0; at < boxes.length; at += 6) {
    boxes.fill(Infinity, at, at + 3);
    boxes.fill(-Infinity, at + 3, at + 6);
  }
  fillLeaves(mesh, boxes, levelStart[1]!, interrupter);
  for (let level = 1; level + 1 < levelStart.length; level++) fillBranches(boxes, levelStart, level);
  return { mesh, boxes, levelStart };
}

function levelStarts(facets: number): Uint32Array {
  const starts = [0];
  let boxes = Math.max(1, Math.ceil(facets / LEAF));
  for (;;) {
    starts.push(starts.at(-1)! + boxes);
    if (boxes === 1) return Uint32Array.from(starts);
    boxes = Math.ceil(boxes / FAN);
  }
}

function fillLeaves(
  { positions, triangles }: Mesh,
  boxes: Float32Array,
  leaves: number,
  interrupter: Interrupter,
): void {
  for (let leaf = 0; leaf < leaves; leaf++) {
    if ((leaf & CALL_MASK) === 0) interrupter(leaf / leaves);
    const end = Math.min(triangles.length, 3 * LEAF * (leaf + 1));
    let minX = Infinity;
    let minY = Infinity;
    let minZ = Infinity;
    let maxX = -Infinity;
    let maxY = -Infinity;
    let maxZ = -Infinity;
    for (let corner = 3 * LEAF * leaf; corner < end; corner++) {
      const at = 3 * triangles[corner]!;
      const x = positions[at]!;
      const y = positions[at + 1]!;
      const z = positions[at + 2]!;
      if (x < minX) minX = x;
      if (y < minY) minY = y;
      if (z < minZ) minZ = z;
      if (x > maxX) maxX = x;
      if (y > maxY) maxY = y;
      if (z > maxZ) maxZ = z;
    }
    const box = 6 * leaf;
    boxes[box] = minX;
    boxes[box + 1] = minY;
    boxes[box + 2] = minZ;
    boxes[box + 3] = maxX;
    boxes[box + 4] = maxY;
    boxes[box + 5] = maxZ;
  }
}

function fillBranches(boxes: Float32Array, levelStart: Uint32Array, level: number): void {
  const below = levelStart[level - 1]!;
  const first = levelStart[level]!;
  for (let child = below; child < first; child++) {
    const box = 6 * (first + Math.floor((child - below) / FAN));
    for (let axis = 0; axis < 3; axis++) {
      boxes[box + axis] = Math.min(boxes[box + axis]!, boxes[6 * child + axis]!);
      boxes[box + 3 + axis] = Math.max(boxes[box + 3 + axis]!, boxes[6 * child + 3 + axis]!);
    }
  }
}

/** First facet of every leaf whose boxes, from the root down, all meet; `meets` is given a box's place in `boxes`. */
export function leavesWhere(
  { boxes, levelStart }: SurfaceIndex,
  meets: (boxes: Float32Array, box: number) => boolean,
): number[] {
  let level = levelStart.length - 2;
  let open = [levelStart[level]!].filter((at) => meets(boxes, 6 * at));
  for (; level > 0; level--) {
    const next: number[] = [];
    for (const at of open) {
      const first = levelStart[level - 1]! + FAN * (at - levelStart[level]!);
      const end = Math.min(levelStart[level]!, first + FAN);
      for (let child = first; child < end; child++) if (meets(boxes, 6 * child)) next.push(child);
    }
    open = next;
  }
  return open.map((leaf) => LEAF * leaf);
}

/** One past the last facet of the leaf that begins with facet `first`. */
export const leafEnd = ({ mesh }: SurfaceIndex, first: number): number =>
  Math.min(mesh.triangles.length / 3, first + LEAF);

/** Place in `boxes` of the leaf that begins with facet `first`. */
export const leafBox = (first: number): number => (6 * first) / LEAF;
