import type { Vec3 } from '../vector.ts';

/**
 * A direction in 16 bits: the sphere unfolded onto an octahedron and that onto a square, a byte for
 * each axis (0 … 254, the middle is 127). Off by less than 1°. Meyer, Süßmuth, Sußner, Stamminger &
 * Greiner 2010; Cigolle et al. 2014. The shader that undoes it is `unpack` in the turntable's shaders.
 */
export function encodeNormal(x: number, y: number, z: number): number {
  const sum = Math.abs(x) + Math.abs(y) + Math.abs(z);
  if (sum === 0) return byte(0) | (byte(0) << 8);
  let u = x / sum;
  let v = y / sum;
  if (z < 0) {
    const folded = (1 - Math.abs(v)) * (u < 0 ? -1 : 1);
    v = (1 - Math.abs(u)) * (v < 0 ? -1 : 1);
    u = folded;
  }
  return byte(u) | (byte(v) << 8);
}

export function decodeNormal(code: number): Vec3 {
  const u = (code & 255) / 127 - 1;
  const v = (code >> 8) / 127 - 1;
  const z = 1 - Math.abs(u) - Math.abs(v);
  const fold = Math.max(-z, 0);
  const x = u + (u < 0 ? fold : -fold);
  const y = v + (v < 0 ? fold : -fold);
  const length = Math.hypot(x, y, z);
  return [x / length, y / length, z / length];
}

const byte = (value: number): number => Math.round(127 * value) + 127;
