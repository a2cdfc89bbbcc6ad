import type { Mesh } from './mesh.ts';

/**
 * Per facet the first facet with the same three corners, in whatever order (itself when it is the
 * first). An open-addressing hash of facet numbers, at most half full.
 */
export function findDuplicates(mesh: Mesh): { readonly sameAs: Uint32Array; readonly duplicates: number } {
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
