/** Integer hash to 0…1: the same numbers on every machine. */
export function hashed(seed: number, x: number, y: number, z: number): number {
  let h = Math.imul(seed ^ 0x9e3779b9, 0x85ebca6b) ^ Math.imul(x | 0, 0xc2b2ae35);
  h = Math.imul(h ^ (h >>> 15), 0x27d4eb2f) ^ Math.imul(y | 0, 0x165667b1);
  h = Math.imul(h ^ (h >>> 13), 0x9e3779b1) ^ Math.imul(z | 0, 0x85ebca77);
  h = Math.imul(h ^ (h >>> 16), 0x7feb352d);
  return ((h ^ (h >>> 15)) >>> 0) / 4294967296;
}

const fade = (t: number): number => t * t * (3 - 2 * t);
const mix = (a: number, b: number, t: number): number => a + (b - a) * t;

/** Value noise, −1…1, one feature per unit length. */
export function noise(seed: number, x: number, y: number, z: number): number {
  const i = Math.floor(x);
  const j = Math.floor(y);
  const k = Math.floor(z);
  const u = fade(x - i);
  const v = fade(y - j);
  const w = fade(z - k);
  const row = (jj: number, kk: number): number =>
    mix(hashed(seed, i, jj, kk), hashed(seed, i + 1, jj, kk), u);
  const low = mix(row(j, k), row(j + 1, k), v);
  const high = mix(row(j, k + 1), row(j + 1, k + 1), v);
  return mix(low, high, w) * 2 - 1;
}
