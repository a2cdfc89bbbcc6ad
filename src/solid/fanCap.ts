import type { Cap } from './capLoop.ts';

/** Closes a loop (three numbers a corner) by facets to the mean of its corners: the cap stays within what is convex round the loop. */
export function fanCap(loop: Float32Array): Cap {
  const count = loop.length / 3;
  const positions = new Float32Array(loop.length + 3);
  positions.set(loop);
  for (let axis = 0; axis < 3; axis++) {
    let sum = 0;
    for (let at = axis; at < loop.length; at += 3) sum += loop[at]!;
    positions[loop.length + axis] = sum / count;
  }
  const triangles = new Uint32Array(3 * count);
  for (let n = 0; n < count; n++) triangles.set([n + 1 < count ? n + 1 : 0, n, count], 3 * n);
  return { positions, triangles };
}
