import type { Vec3 } from '../vector.ts';
import type { JointPlace } from './jointPlaces.ts';

/** So many faces are kept of a joint: enough for a twentieth of them to be a hundred. */
const MOST_FACES = 2048;
const FIGURES = 8;

/** Every n-th place with the area of those up to it: place, outward normal of the first part, mm², gap in mm. */
export function packFaces(places: readonly JointPlace[]): Float32Array {
  const each = Math.max(1, Math.ceil(places.length / MOST_FACES));
  const packed = new Float32Array(FIGURES * Math.ceil(places.length / each));
  let owedMm2 = 0;
  let next = 0;
  for (const [n, { at, outOfFirst, areaMm2, gapMm }] of places.entries()) {
    owedMm2 += areaMm2;
    if (n % each !== each - 1 && n !== places.length - 1) continue;
    packed.set([...at, ...outOfFirst, owedMm2, gapMm], FIGURES * next++);
    owedMm2 = 0;
  }
  return packed;
}

export function unpackFaces(packed: Float32Array): JointPlace[] {
  return Array.from({ length: packed.length / FIGURES }, (_, n) => {
    const [x, y, z, nx, ny, nz, areaMm2, gapMm] = packed.subarray(
      FIGURES * n,
      FIGURES * (n + 1),
    ) as unknown as [...Vec3, ...Vec3, number, number];
    return { at: [x, y, z], outOfFirst: [nx, ny, nz], areaMm2, gapMm };
  });
}
