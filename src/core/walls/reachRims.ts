import { NEAR_FLAT_DEG, type NearFlatRegion } from './nearFlatRegions.ts';
import type { SkinPoints } from './skinPoints.ts';

const NEAR_FLAT_COSINE = Math.cos((NEAR_FLAT_DEG * Math.PI) / 180);
const ROUNDS = 6;

/**
 * Lets each region grow over corners that face its way into patches that the rim passes: their mean
 * normal belongs to neither side, or to a strip along the rim. A patch is no wider than some facets, so a
 * few rounds do.
 */
export function reachRims(
  t: Uint32Array,
  { normals }: Pick<SkinPoints, 'normals'>,
  regions: readonly Pick<NearFlatRegion, 'axis'>[],
  labels: Int32Array,
): void {
  const cosineTo = (region: number, v: number): number => {
    const [x, y, z] = regions[region]!.axis;
    return x * normals[3 * v]! + y * normals[3 * v + 1]! + z * normals[3 * v + 2]!;
  };
  // What a corner has once handed on, the next one has or has better: only news need go round again.
  let isNew = new Uint8Array(labels.length).fill(1);
  for (let round = 0; round < ROUNDS; round++) {
    const before = labels.slice();
    const changed = new Uint8Array(labels.length);
    let isSettled = true;
    const handOn = (u: number, v: number): void => {
      const region = before[u]!;
      const now = labels[v]!;
      if (region < 0 || region === now) return;
      const cosine = cosineTo(region, v);
      if (cosine < NEAR_FLAT_COSINE || (now >= 0 && cosine <= cosineTo(now, v))) return;
      labels[v] = region;
      changed[v] = 1;
      isSettled = false;
    };
    for (let f = 0; f < t.length; f += 3) {
      const a = t[f]!;
      const b = t[f + 1]!;
      const c = t[f + 2]!;
      if (isNew[a] === 1) handOn(a, b);
      if (isNew[b] === 1) handOn(b, c);
      if (isNew[c] === 1) handOn(c, a);
    }
    if (isSettled) return;
    isNew = changed;
  }
}
