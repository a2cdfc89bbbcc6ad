import { BRICK, BRICK_NODES, type FieldLattice } from './fieldLattice.ts';
import type { SurfaceSamples } from './surfaceSamples.ts';

/** Working memory of a search round one brick, and its answer. */
export interface SampleReach {
  /** No sample further than this is looked at, mm. */
  readonly reachMm: number;
  /** How near a sample must be to settle a node: nothing nearer is looked for, mm. */
  readonly settledMm: number;
  /** By node of the brick: `OUTSIDE`, `SETTLED`, or the square of the distance to the closest sample in spacings, Infinity where none is within reach. */
  readonly squared: Float32Array;
  /** That sample. */
  readonly sample: Int32Array;
}

/** Marks of nodes that no sample is offered to. */
export const OUTSIDE = -1;
export const SETTLED = -2;

export const sampleReach = (reachMm: number, settledMm: number): SampleReach => ({
  reachMm,
  settledMm,
  squared: new Float32Array(BRICK_NODES),
  sample: new Int32Array(BRICK_NODES),
});

/** More than the roundings of a square, so that what is not looked at cannot be the least. */
const SLACK = 1 + 1e-6;
const { fround } = Math;

/** Squares beyond which nothing changes in a row of nodes, and in a plane of rows. */
const rowMost = new Float64Array(BRICK * BRICK);
const planeMost = new Float64Array(BRICK);
/** Steps to the bricks round a brick, itself first: near samples first make the rest of the search short. */
const around = new Map<number, readonly (readonly [number, number, number])[]>();

/** Order matters where two samples are equally near: the first one offered wins. */
export function stepsAround(most: number): readonly (readonly [number, number, number])[] {
  const known = around.get(most);
  if (known !== undefined) return known;
  const along = 2 * most + 1;
  const steps = Array.from({ length: along ** 3 }, (_, way): [number, number, number] => [
    (way % along) - most,
    (Math.floor(way / along) % along) - most,
    Math.floor(way / (along * along)) - most,
  ]);
  const length = ([x, y, z]: readonly [number, number, number]) => Math.abs(x) + Math.abs(y) + Math.abs(z);
  steps.sort((a, b) => length(a) - length(b));
  around.set(most, steps);
  return steps;
}

/**
 * The closest sample of each node of a brick that is marked Infinity in `reach.squared`. False when no
 * sample is within reach of the brick. Coordinates from the brick's first node in spacings, squares and
 * sums are rounded to 32 bits: (x² + y²) + z², the least wins, the first of equals. Which nodes a sample
 * is offered to makes no difference to that.
 */
export function nearestSamples(
  { points, start }: SurfaceSamples,
  { origin, spacing, bricks }: FieldLattice,
  brick: number,
  reach: SampleReach,
): boolean {
  const [nx, ny, nz] = bricks;
  const bx = brick % nx;
  const by = Math.floor(brick / nx) % ny;
  const bz = Math.floor(brick / (nx * ny));
  const x0 = origin[0] + BRICK * bx * spacing;
  const y0 = origin[1] + BRICK * by * spacing;
  const z0 = origin[2] + BRICK * bz * spacing;
  const { squared, reachMm } = reach;
  const most = squareOf(reachMm, spacing) * SLACK;
  for (let row = 0; row < BRICK * BRICK; row++) rowMost[row] = mostOfRow(squared, row, most);
  for (let k = 0; k < BRICK; k++) planeMost[k] = mostOfPlane(k);
  let isReached = false;
  for (const [dx, dy, dz] of stepsAround(Math.ceil(reachMm / (BRICK * spacing)))) {
    const i = bx + dx;
    const j = by + dy;
    const k = bz + dz;
    if (i < 0 || j < 0 || k < 0 || i >= nx || j >= ny || k >= nz) continue;
    const other = i + nx * (j + ny * k);
    const first = start[other]!;
    const last = start[other + 1]!;
    if (first === last) continue;
    if (offerSamples(points, first, last, x0, y0, z0, spacing, reach)) isReached = true;
  }
  return isReached;
}

function offerSamples(
  points: Float32Array,
  first: number,
  last: number,
  x0: number,
  y0: number,
  z0: number,
  spacing: number,
  { squared, sample, reachMm, settledMm }: SampleReach,
): boolean {
  // In units of the spacing node n of a row stands at n.
  const perMm = 1 / spacing;
  const most = squareOf(reachMm, spacing);
  const settled = squareOf(settledMm, spacing);
  const side = BRICK - 1;
  let isReached = false;
  for (let s = first; s < last; s++) {
    const x = fround((points[3 * s]! - x0) * perMm);
    const y = fround((points[3 * s + 1]! - y0) * perMm);
    const z = fround((points[3 * s + 2]! - z0) * perMm);
    const ox = x < 0 ? -x : x > side ? fround(x - side) : 0;
    const oy = y < 0 ? -y : y > side ? fround(y - side) : 0;
    const oz = z < 0 ? -z : z > side ? fround(z - side) : 0;
    const xx = fround(ox * ox);
    const xy = fround(xx + fround(oy * oy));
    if (fround(xy + fround(oz * oz)) >= most) continue;
    isReached = true;
    for (let k = 0; k < BRICK; k++) {
      const zz = (k - z) * (k - z);
      const inPlane = planeMost[k]! - zz;
      if (xy >= inPlane) continue;
      const across = Math.sqrt(inPlane - xx);
      const jFrom = y > across ? Math.ceil(y - across) : 0;
      const jTo = y + across < side ? Math.floor(y + across) : side;
      let isNearer = false;
      for (let j = jFrom; j <= jTo; j++) {
        const yz = (j - y) * (j - y) + zz;
        const row = j + BRICK * k;
        const rest = rowMost[row]! - yz;
        if (rest <= xx) continue;
        const half = Math.sqrt(rest);
        const from = x > half ? Math.ceil(x - half) : 0;
        const to = x + half < side ? Math.floor(x + half) : side;
        let changed = false;
        for (let i = from; i <= to; i++) {
          const d = squareAt(i, j, k, x, y, z);
          const node = BRICK * row + i;
          if (d >= squared[node]! || d >= most) continue;
          squared[node] = d < settled ? SETTLED : d;
          sample[node] = s;
          changed = true;
        }
        if (!changed) continue;
        rowMost[row] = mostOfRow(squared, row, most * SLACK);
        isNearer = true;
      }
      if (isNearer) planeMost[k] = mostOfPlane(k);
    }
  }
  return isReached;
}

const squareOf = (mm: number, spacing: number): number => fround(mm * (1 / spacing) * (mm * (1 / spacing)));

function squareAt(i: number, j: number, k: number, x: number, y: number, z: number): number {
  const dx = fround(i - x);
  const dy = fround(j - y);
  const dz = fround(k - z);
  return fround(fround(fround(dx * dx) + fround(dy * dy)) + fround(dz * dz));
}

function mostOfRow(squared: Float32Array, row: number, most: number): number {
  let result = SETTLED;
  for (let n = BRICK * row; n < BRICK * (row + 1); n++) if (squared[n]! > result) result = squared[n]!;
  return Math.min(SLACK * result, most);
}

function mostOfPlane(k: number): number {
  let result = SETTLED;
  for (let row = BRICK * k; row < BRICK * (k + 1); row++) if (rowMost[row]! > result) result = rowMost[row]!;
  return result;
}
