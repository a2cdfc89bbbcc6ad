import type { FieldLattice } from './fieldLattice.ts';
import type { SurfaceSamples } from './surfaceSamples.ts';

/** Bricks along the edge of a group. */
const GROUP = 6;

/** Boxes (min x, y, z, max x, y, z) round the samples of each brick that has any, and round groups of such bricks. */
export interface SampleBlocks {
  /** Bricks that have samples, group by group. */
  readonly bricks: Uint32Array;
  readonly boxes: Float32Array;
  /** First of `bricks` of each group, and their number last. */
  readonly groupStart: Uint32Array;
  readonly groupBoxes: Float32Array;
}

export function sampleBlocks({ points, start }: SurfaceSamples, { bricks }: FieldLattice): SampleBlocks {
  const [nx, ny] = bricks;
  const filled: number[] = [];
  for (let brick = 0; brick + 1 < start.length; brick++)
    if (start[brick]! < start[brick + 1]!) filled.push(brick);
  const groupsX = Math.ceil(nx / GROUP);
  const groupsY = Math.ceil(ny / GROUP);
  const groupOf = (brick: number): number =>
    Math.floor((brick % nx) / GROUP) +
    groupsX *
      (Math.floor((Math.floor(brick / nx) % ny) / GROUP) + groupsY * Math.floor(brick / (nx * ny * GROUP)));
  const order = filled
    .map((brick) => ({ brick, group: groupOf(brick) }))
    .sort((a, b) => a.group - b.group || a.brick - b.brick);
  const groupStart: number[] = [];
  order.forEach(({ group }, n) => {
    if (n === 0 || group !== order[n - 1]!.group) groupStart.push(n);
  });
  const boxes = emptyBoxes(order.length);
  const groupBoxes = emptyBoxes(groupStart.length);
  let at = -1;
  order.forEach(({ brick }, n) => {
    if (groupStart[at + 1] === n) at++;
    for (let s = start[brick]!; s < start[brick + 1]!; s++) extend(boxes, 6 * n, points, 3 * s);
    extend(groupBoxes, 6 * at, boxes, 6 * n);
    extend(groupBoxes, 6 * at, boxes, 6 * n + 3);
  });
  return {
    bricks: Uint32Array.from(order, ({ brick }) => brick),
    boxes,
    groupStart: Uint32Array.from([...groupStart, order.length]),
    groupBoxes,
  };
}

function emptyBoxes(count: number): Float32Array {
  const boxes = new Float32Array(6 * count);
  for (let b = 0; b < boxes.length; b += 6) {
    boxes.fill(Infinity, b, b + 3);
    boxes.fill(-Infinity, b + 3, b + 6);
  }
  return boxes;
}

/** Stretches a box to hold the point that stands at `from` of `points`. */
function extend(boxes: Float32Array, box: number, points: Float32Array, from: number): void {
  for (let axis = 0; axis < 3; axis++) {
    const value = points[from + axis]!;
    if (value < boxes[box + axis]!) boxes[box + axis] = value;
    if (value > boxes[box + 3 + axis]!) boxes[box + 3 + axis] = value;
  }
}

/** The sample closest to a point and within `withinMm` of it, −1 where there is none. */
export function searchSamples(
  { points, start }: SurfaceSamples,
  { bricks, boxes, groupStart, groupBoxes }: SampleBlocks,
  x: number,
  y: number,
  z: number,
  withinMm: number,
): number {
  let best = -1;
  let least = withinMm * withinMm;
  for (let group = 0; group + 1 < groupStart.length; group++) {
    if (boxDistance(groupBoxes, group, x, y, z) > least) continue;
    for (let block = groupStart[group]!; block < groupStart[group + 1]!; block++) {
      if (boxDistance(boxes, block, x, y, z) > least) continue;
      const brick = bricks[block]!;
      for (let s = start[brick]!; s < start[brick + 1]!; s++) {
        const dx = points[3 * s]! - x;
        const dy = points[3 * s + 1]! - y;
        const dz = points[3 * s + 2]! - z;
        const squared = dx * dx + dy * dy + dz * dz;
        if (squared >= least) continue;
        least = squared;
        best = s;
      }
    }
  }
  return best;
}

function boxDistance(boxes: Float32Array, box: number, x: number, y: number, z: number): number {
  const at = 6 * box;
  const dx = Math.max(boxes[at]! - x, x - boxes[at + 3]!, 0);
  const dy = Math.max(boxes[at + 1]! - y, y - boxes[at + 4]!, 0);
  const dz = Math.max(boxes[at + 2]! - z, z - boxes[at + 5]!, 0);
  return dx * dx + dy * dy + dz * dz;
}
