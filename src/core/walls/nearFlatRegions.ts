import type { SkinPatches } from './skinPatches.ts';

/** A connected region of patches whose normals all lie near one axis. */
export interface NearFlatRegion {
  readonly axis: readonly [number, number, number];
  readonly patches: readonly number[];
  readonly areaMm2: number;
}

/** Normals this far from the region's axis still belong to it: between 10° and 15°, engineering choice. */
export const NEAR_FLAT_DEG = 12;
const ROUNDS = 3;

/**
 * Parts a surface into near-flat regions, the flattest places first: each grows from a seed over all
 * patches not yet taken whose normal lies within 12° of the region's mean, which is found in a few
 * rounds. What is under `leastMm2` is left out. Deterministic.
 */
export function nearFlatRegions(skin: SkinPatches, leastMm2: number): NearFlatRegion[] {
  const taken = new Uint8Array(skin.count);
  const regions: NearFlatRegion[] = [];
  for (const seed of seedsByFlatness(skin)) {
    if (taken[seed] === 1) continue;
    const region = growRegion(skin, seed, taken);
    // A small one keeps its patches too: their flatter neighbours have had their turn.
    for (const patch of region.patches) taken[patch] = 1;
    if (region.areaMm2 >= leastMm2) regions.push(region);
  }
  return regions.sort((a, b) => b.areaMm2 - a.areaMm2);
}

/** Patches by the greatest angle to a neighbour's normal, least first. */
function seedsByFlatness({ count, normals, start, neighbours }: SkinPatches): Uint32Array {
  const cosine = new Float64Array(count).fill(1);
  for (let patch = 0; patch < count; patch++) {
    for (let n = start[patch]!; n < start[patch + 1]!; n++)
      cosine[patch] = Math.min(cosine[patch]!, dotOf(normals, patch, neighbours[n]!));
  }
  // A thousandth is about 2.5°: within that the order of the patches decides, not the noise of the normals.
  const steep = Int32Array.from(cosine, (c) => Math.floor((1 - c) * 1000));
  return Uint32Array.from(steep.keys()).sort((a, b) => steep[a]! - steep[b]! || a - b);
}

const dotOf = (n: Float64Array, a: number, b: number): number =>
  n[3 * a]! * n[3 * b]! + n[3 * a + 1]! * n[3 * b + 1]! + n[3 * a + 2]! * n[3 * b + 2]!;

const leastCosine = Math.cos((NEAR_FLAT_DEG * Math.PI) / 180);

function growRegion(skin: SkinPatches, seed: number, taken: Uint8Array): NearFlatRegion {
  const { normals } = skin;
  let axis: [number, number, number] = [normals[3 * seed]!, normals[3 * seed + 1]!, normals[3 * seed + 2]!];
  let region = floodRegion(skin, seed, taken, axis);
  for (let round = 1; round < ROUNDS; round++) {
    const mean = meanNormal(skin, region.patches);
    if (axis.every((c, n) => Math.abs(c - mean[n]!) < 1e-3)) break;
    // The mean may have left the seed behind: then the region is as good as it gets.
    const cosine =
      mean[0] * normals[3 * seed]! + mean[1] * normals[3 * seed + 1]! + mean[2] * normals[3 * seed + 2]!;
    if (cosine < leastCosine) break;
    axis = mean;
    region = floodRegion(skin, seed, taken, axis);
  }
  return { axis, ...region };
}

function floodRegion(
  { normals, areaMm2, start, neighbours }: SkinPatches,
  seed: number,
  taken: Uint8Array,
  axis: readonly [number, number, number],
): { patches: number[]; areaMm2: number } {
  const patches = [seed];
  const reached = new Set(patches);
  let area = 0;
  for (let n = 0; n < patches.length; n++) {
    const patch = patches[n]!;
    area += areaMm2[patch]!;
    for (let link = start[patch]!; link < start[patch + 1]!; link++) {
      const next = neighbours[link]!;
      if (taken[next] === 1 || reached.has(next)) continue;
      const o = 3 * next;
      if (axis[0] * normals[o]! + axis[1] * normals[o + 1]! + axis[2] * normals[o + 2]! < leastCosine)
        continue;
      reached.add(next);
      patches.push(next);
    }
  }
  return { patches, areaMm2: area };
}

function meanNormal({ normals, areaMm2 }: SkinPatches, patches: readonly number[]): [number, number, number] {
  const sum: [number, number, number] = [0, 0, 0];
  for (const patch of patches)
    for (let axis = 0; axis < 3; axis++) sum[axis]! += areaMm2[patch]! * normals[3 * patch + axis]!;
  const length = Math.hypot(...sum) || 1;
  return [sum[0] / length, sum[1] / length, sum[2] / length];
}
