import type { Mesh } from '../mesh/mesh.ts';
import { findRoot, joinSets, singletons } from '../unionFind.ts';

/** What holds two thin places together round the tip of a spike: so many rings of facets. */
const RINGS = 2;

/** Patch of every vertex that is thin or within some rings of one that is; −1 elsewhere. */
export function thinPatches(
  { triangles: t }: Pick<Mesh, 'triangles'>,
  thicknessMm: Float32Array,
): { readonly label: Int32Array; readonly count: number } {
  const label = new Int32Array(thicknessMm.length).fill(-1);
  const near = new Uint8Array(thicknessMm.length);
  for (let v = 0; v < near.length; v++) if (thicknessMm[v]! < Infinity) near[v] = 1;
  if (!near.includes(1)) return { label, count: 0 };
  for (let ring = 1; ring <= RINGS; ring++) growRing(t, near, ring);
  const sets = singletons(near.length);
  for (let f = 0; f < t.length; f += 3) {
    const a = t[f]!;
    const b = t[f + 1]!;
    const c = t[f + 2]!;
    if (near[a]! > 0 && near[b]! > 0) joinSets(sets, a, b);
    if (near[b]! > 0 && near[c]! > 0) joinSets(sets, b, c);
    if (near[c]! > 0 && near[a]! > 0) joinSets(sets, c, a);
  }
  let count = 0;
  for (let v = 0; v < label.length; v++) {
    if (near[v] === 0) continue;
    // The first of its set, so it is met before the others.
    const root = findRoot(sets, v);
    label[v] = root === v ? count++ : label[root]!;
  }
  return { label, count };
}

/** Marks with `ring` + 1 what shares a facet with a vertex marked up to `ring`. */
function growRing(t: Uint32Array, near: Uint8Array, ring: number): void {
  for (let f = 0; f < t.length; f += 3) {
    const a = t[f]!;
    const b = t[f + 1]!;
    const c = t[f + 2]!;
    if (!isMarked(near[a]!, ring) && !isMarked(near[b]!, ring) && !isMarked(near[c]!, ring)) continue;
    if (near[a] === 0) near[a] = ring + 1;
    if (near[b] === 0) near[b] = ring + 1;
    if (near[c] === 0) near[c] = ring + 1;
  }
}

const isMarked = (mark: number, ring: number): boolean => mark > 0 && mark <= ring;
