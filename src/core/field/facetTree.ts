import { type Interrupter, uninterrupted } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';

/** Facets a leaf holds, and children a branch has. */
const LEAF = 4;
const FAN = 4;
const MORTON_BITS = 10;
/** Facets or boxes between two calls of the interrupter, less one. */
const CALL_MASK = 0xffff;

/**
 * Facets packed along a Morton curve under an implicit tree of boxes (every branch has `FAN`
 * children, found by arithmetic). Built once per mesh, then read only: any number of queries, each
 * with its own scratch, may share it.
 */
export interface FacetTree {
  /** Nine floats a facet in packed order: three corners. */
  readonly corners: Float32Array;
  /** The mesh's own facets (not a copy), to tell which hang together. */
  readonly triangles: Uint32Array;
  /** Facet number in the mesh, by packed order. */
  readonly facet: Uint32Array;
  /** Six floats a box: min x,y,z, max x,y,z. Leaves first, then level by level, the root last. */
  readonly boxes: Float32Array;
  /** First box of every level, leaves at level 0, and the number of boxes last. */
  readonly levelStart: Uint32Array;
}

/** Sorts facets by the Morton code of their centre; returns facet numbers. Stable, so deterministic. */
function mortonOrder(mesh: Mesh, interrupter: Interrupter): Uint32Array {
  const { positions, triangles } = mesh;
  const count = triangles.length / 3;
  let minX = Infinity;
  let minY = Infinity;
  let minZ = Infinity;
  let extent = 0;
  for (let i = 0; i < positions.length; i += 3) {
    if (positions[i]! < minX) minX = positions[i]!;
    if (positions[i + 1]! < minY) minY = positions[i + 1]!;
    if (positions[i + 2]! < minZ) minZ = positions[i + 2]!;
  }
  for (let i = 0; i < positions.length; i += 3) {
    extent = Math.max(extent, positions[i]! - minX, positions[i + 1]! - minY, positions[i + 2]! - minZ);
  }
  const scale = extent > 0 ? (2 ** MORTON_BITS - 1) / (3 * extent) : 0;
  const codes = new Uint32Array(count);
  for (let f = 0; f < count; f++) {
    if ((f & CALL_MASK) === 0) interrupter((0.3 * f) / count);
    const a = 3 * triangles[3 * f]!;
    const b = 3 * triangles[3 * f + 1]!;
    const c = 3 * triangles[3 * f + 2]!;
    const x = (positions[a]! + positions[b]! + positions[c]! - 3 * minX) * scale;
    const y = (positions[a + 1]! + positions[b + 1]! + positions[c + 1]! - 3 * minY) * scale;
    const z = (positions[a + 2]! + positions[b + 2]! + positions[c + 2]! - 3 * minZ) * scale;
    codes[f] = spread(x) | (spread(y) << 1) | (spread(z) << 2);
  }
  return sortedByCode(codes, interrupter);
}

/** Two zero bits between any two of the lowest ten. */
function spread(value: number): number {
  let v = value & 0x3ff;
  v = (v | (v << 16)) & 0x030000ff;
  v = (v | (v << 8)) & 0x0300f00f;
  v = (v | (v << 4)) & 0x030c30c3;
  return (v | (v << 2)) & 0x09249249;
}

/** Radix sort by 30-bit code, three passes of ten bits. */
function sortedByCode(codes: Uint32Array, interrupter: Interrupter): Uint32Array {
  const count = codes.length;
  let order = new Uint32Array(count);
  for (let i = 0; i < count; i++) order[i] = i;
  if (isAscending(codes)) return order;
  let other = new Uint32Array(count);
  const starts = new Uint32Array(1025);
  for (let shift = 0; shift < 30; shift += 10) {
    interrupter(0.3 + shift / 100);
    starts.fill(0);
    for (let i = 0; i < count; i++) starts[((codes[i]! >>> shift) & 1023) + 1]!++;
    for (let i = 0; i < 1024; i++) starts[i + 1]! += starts[i]!;
    for (let i = 0; i < count; i++) {
      const f = order[i]!;
      other[starts[(codes[f]! >>> shift) & 1023]!++] = f;
    }
    [order, other] = [other, order];
  }
  return order;
}

function isAscending(codes: Uint32Array): boolean {
  for (let i = 1; i < codes.length; i++) if (codes[i - 1]! > codes[i]!) return false;
  return true;
}

/** Boxes per level from the leaves to the single root, as running starts. */
function levelStarts(facets: number): Uint32Array {
  const starts = [0];
  let boxes = Math.max(1, Math.ceil(facets / LEAF));
  for (;;) {
    starts.push(starts.at(-1)! + boxes);
    if (boxes === 1) return Uint32Array.from(starts);
    boxes = Math.ceil(boxes / FAN);
  }
}

/**
 * Builds the tree over all facets of a mesh, degenerate ones included. Time and memory are linear
 * (about 50 bytes a facet).
 */
export function buildFacetTree(mesh: Mesh, interrupter: Interrupter = uninterrupted): FacetTree {
  const { positions, triangles } = mesh;
  const facet = mortonOrder(mesh, interrupter);
  const count = facet.length;
  const corners = new Float32Array(9 * count);
  for (let i = 0; i < count; i++) {
    if ((i & CALL_MASK) === 0) interrupter(0.6 + (0.2 * i) / count);
    for (let c = 0; c < 3; c++) {
      const v = 3 * triangles[3 * facet[i]! + c]!;
      corners[9 * i + 3 * c] = positions[v]!;
      corners[9 * i + 3 * c + 1] = positions[v + 1]!;
      corners[9 * i + 3 * c + 2] = positions[v + 2]!;
    }
  }
  const levelStart = levelStarts(count);
  const boxes = new Float32Array(6 * levelStart.at(-1)!);
  fillLeafBoxes(corners, boxes, levelStart[1]!, interrupter);
  for (let level = 1; level + 1 < levelStart.length; level++) fillBranchBoxes(boxes, levelStart, level);
  return { corners, triangles, facet, boxes, levelStart };
}

function fillLeafBoxes(
  corners: Float32Array,
  boxes: Float32Array,
  leaves: number,
  interrupter: Interrupter,
): void {
  for (let leaf = 0; leaf < leaves; leaf++) {
    if ((leaf & CALL_MASK) === 0) interrupter(0.8 + (0.2 * leaf) / leaves);
    const box = 6 * leaf;
    clearBox(boxes, box);
    const end = Math.min(corners.length, 9 * LEAF * (leaf + 1));
    for (let i = 9 * LEAF * leaf; i < end; i += 3) {
      for (let axis = 0; axis < 3; axis++) {
        const value = corners[i + axis]!;
        if (value < boxes[box + axis]!) boxes[box + axis] = value;
        if (value > boxes[box + 3 + axis]!) boxes[box + 3 + axis] = value;
      }
    }
  }
}

function fillBranchBoxes(boxes: Float32Array, levelStart: Uint32Array, level: number): void {
  const below = levelStart[level - 1]!;
  const first = levelStart[level]!;
  for (let at = first; at < levelStart[level + 1]!; at++) {
    const box = 6 * at;
    clearBox(boxes, box);
    const child = below + FAN * (at - first);
    const end = Math.min(first, child + FAN);
    for (let i = 6 * child; i < 6 * end; i += 6) {
      for (let axis = 0; axis < 3; axis++) {
        if (boxes[i + axis]! < boxes[box + axis]!) boxes[box + axis] = boxes[i + axis]!;
        if (boxes[i + 3 + axis]! > boxes[box + 3 + axis]!) boxes[box + 3 + axis] = boxes[i + 3 + axis]!;
      }
    }
  }
}

function clearBox(boxes: Float32Array, box: number): void {
  boxes.fill(Infinity, box, box + 3);
  boxes.fill(-Infinity, box + 3, box + 6);
}

/** Children of box `at` of `level`: [first, end) among the boxes of the level below. */
export const childStart = (tree: FacetTree, level: number, at: number): number =>
  tree.levelStart[level - 1]! + FAN * (at - tree.levelStart[level]!);
export const childEnd = (tree: FacetTree, level: number, at: number): number =>
  Math.min(tree.levelStart[level]!, childStart(tree, level, at) + FAN);
/** Packed facets of leaf `at`: [first, end). */
export const leafStart = (at: number): number => LEAF * at;
export const leafEnd = (tree: FacetTree, at: number): number => Math.min(tree.facet.length, LEAF * (at + 1));
