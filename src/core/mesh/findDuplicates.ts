import { singletons } from '../unionFind.ts';
import { edgesOf } from './edgesOf.ts';
import type { Mesh } from './mesh.ts';
import { nextHalfEdge } from './sortEdges.ts';

export interface Duplicates {
  /** Per facet the first facet with the same three corners, in whatever order; itself when it is the first. */
  readonly sameAs: Uint32Array;
  readonly duplicates: number;
}

/** Facets that repeat another's corners. */
export function findDuplicates(mesh: Mesh): Duplicates {
  if (mayRepeat(mesh)) return findDuplicatesByHash(mesh);
  return { sameAs: singletons(mesh.triangles.length / 3), duplicates: 0 };
}

/** Pairs of facets at one edge looked at before a repeat is taken for likely. */
const widestEdge = 8;

/** Facets with the same corners share their edges, so their third corners at one edge are equal. */
function mayRepeat(mesh: Mesh): boolean {
  const { triangles: t } = mesh;
  const { order, start, groups } = edgesOf(mesh);
  // Half-edges between a vertex and itself are missing: facets with equal corners have no such edges.
  if (order.length < t.length) return true;
  for (let g = 0; g < groups; g++) {
    const from = start[g]!;
    const to = start[g + 1]!;
    if (to - from > widestEdge) return true;
    for (let i = from + 1; i < to; i++) {
      const apex = t[nextHalfEdge(nextHalfEdge(order[i]!))];
      for (let j = from; j < i; j++) {
        if (t[nextHalfEdge(nextHalfEdge(order[j]!))] === apex) return true;
      }
    }
  }
  return false;
}

/** The same by an open-addressing hash of facet numbers, at most half full. */
export function findDuplicatesByHash(mesh: Mesh): Duplicates {
  const { triangles } = mesh;
  const facets = triangles.length / 3;
  const sameAs = new Uint32Array(facets);
  const slots = new Int32Array(tableSize(facets)).fill(-1);
  const mask = slots.length - 1;
  let duplicates = 0;
  for (let f = 0; f < facets; f++) {
    let slot = hashOf(triangles, f) & mask;
    while (slots[slot] !== -1 && !sameCorners(triangles, slots[slot]!, f)) slot = (slot + 1) & mask;
    if (slots[slot] === -1) slots[slot] = f;
    else duplicates++;
    sameAs[f] = slots[slot]!;
  }
  return { sameAs, duplicates };
}

const tableSize = (entries: number): number => 2 ** Math.ceil(Math.log2(Math.max(8, entries * 2)));

/** Symmetric in the corners. */
function hashOf(triangles: Uint32Array, f: number): number {
  const a = triangles[3 * f]!;
  const b = triangles[3 * f + 1]!;
  const c = triangles[3 * f + 2]!;
  let h = Math.imul(a + b + c, 0x9e3779b1) ^ Math.imul(a ^ b ^ c, 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  return h ^ (h >>> 13);
}

function sameCorners(triangles: Uint32Array, f: number, g: number): boolean {
  const a = triangles[3 * f]!;
  const b = triangles[3 * f + 1]!;
  const c = triangles[3 * f + 2]!;
  const u = triangles[3 * g]!;
  const v = triangles[3 * g + 1]!;
  const w = triangles[3 * g + 2]!;
  if (a === u) return (b === v && c === w) || (b === w && c === v);
  if (a === v) return (b === u && c === w) || (b === w && c === u);
  return a === w && ((b === u && c === v) || (b === v && c === u));
}
