import type { Interrupter } from '../interrupter.ts';
import { type FacetTree, leafEnd, leafStart } from './facetTree.ts';

/** Numbers a slab. */
export const SLAB = 8;
/** Slabs are widened by this part of the greatest coordinate: the rounding of single precision. */
const ROUNDING = 2 ** -21;

/**
 * Flat discs round facets, and round the facets of each leaf: middle (3), unit normal (3), radius,
 * half thickness, in mm. A point h off the middle plane and t off the axis is no nearer to what the
 * slab holds than √(max(0, h − half thickness)² + max(0, t − radius)²). On a slanting surface that
 * lies far closer to the truth than an upright box.
 */
export interface BoundingSlabs {
  /** By packed facet. */
  readonly facets: Float32Array;
  readonly leaves: Float32Array;
}

export function buildBoundingSlabs(tree: FacetTree, interrupter: Interrupter): BoundingSlabs {
  const { corners } = tree;
  const count = tree.facet.length;
  const leafCount = tree.levelStart[1]!;
  const facets = new Float32Array(SLAB * count);
  const leaves = new Float32Array(SLAB * leafCount);
  const slack = ROUNDING * greatest(tree);
  for (let leaf = 0; leaf < leafCount; leaf++) {
    if ((leaf & 0x1fff) === 0) interrupter(leaf / leafCount);
    for (let f = leafStart(leaf); f < leafEnd(tree, leaf); f++)
      writeSlab(corners, f, f + 1, slack, facets, SLAB * f);
    writeSlab(corners, leafStart(leaf), leafEnd(tree, leaf), slack, leaves, SLAB * leaf);
  }
  return { facets, leaves };
}

/** The greatest coordinate, by the root's box. */
function greatest({ boxes }: FacetTree): number {
  let most = 0;
  for (let n = boxes.length - 6; n < boxes.length; n++) most = Math.max(most, Math.abs(boxes[n]!));
  return most;
}

/** The slab of packed facets [from, to). */
function writeSlab(
  corners: Float32Array,
  from: number,
  to: number,
  slack: number,
  out: Float32Array,
  at: number,
): void {
  let mx = 0;
  let my = 0;
  let mz = 0;
  let nx = 0;
  let ny = 0;
  let nz = 0;
  for (let o = 9 * from; o < 9 * to; o += 9) {
    const ax = corners[o]!;
    const ay = corners[o + 1]!;
    const az = corners[o + 2]!;
    const ux = corners[o + 3]! - ax;
    const uy = corners[o + 4]! - ay;
    const uz = corners[o + 5]! - az;
    const vx = corners[o + 6]! - ax;
    const vy = corners[o + 7]! - ay;
    const vz = corners[o + 8]! - az;
    mx += ax + (ux + vx) / 3;
    my += ay + (uy + vy) / 3;
    mz += az + (uz + vz) / 3;
    nx += uy * vz - uz * vy;
    ny += uz * vx - ux * vz;
    nz += ux * vy - uy * vx;
  }
  const share = 1 / (to - from);
  const length = Math.sqrt(nx * nx + ny * ny + nz * nz);
  const scale = length > 0 ? 1 / length : 0;
  out[at] = mx * share;
  out[at + 1] = my * share;
  out[at + 2] = mz * share;
  out[at + 3] = nx * scale;
  out[at + 4] = ny * scale;
  out[at + 5] = length > 0 ? nz * scale : 1;
  // Measured from the numbers as they are kept, so that only this sum's own rounding is left.
  mx = out[at]!;
  my = out[at + 1]!;
  mz = out[at + 2]!;
  nx = out[at + 3]!;
  ny = out[at + 4]!;
  nz = out[at + 5]!;
  let radius = 0;
  let thickness = 0;
  for (let o = 9 * from; o < 9 * to; o += 3) {
    const dx = corners[o]! - mx;
    const dy = corners[o + 1]! - my;
    const dz = corners[o + 2]! - mz;
    const h = nx * dx + ny * dy + nz * dz;
    const tt = dx * dx + dy * dy + dz * dz - h * h;
    if (tt > radius) radius = tt;
    if (Math.abs(h) > thickness) thickness = Math.abs(h);
  }
  out[at + 6] = Math.sqrt(radius) + slack;
  out[at + 7] = thickness + slack;
}
