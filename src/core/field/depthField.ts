import type { Interrupter } from '../interrupter.ts';
import type { RayGrid } from '../rays/rayGrid.ts';
import { type ClosestPoint, closestPointScratch } from './closestPoint.ts';
import type { DepthProbe } from './depthProbe.ts';
import { BRICK, BRICK_NODES, type FieldLattice } from './fieldLattice.ts';
import { nearestSamples, OUTSIDE, type SampleReach, SETTLED, sampleReach } from './nearestSamples.ts';
import type { SurfaceSamples } from './surfaceSamples.ts';

/**
 * Signed true distance to a surface (depth: positive inside), kept only where it passes `level`.
 * A brick is either uniform (all of its nodes lie on one side of the level, none within a spacing of
 * it) or has a slot with all its nodes. Node `local` of slot s stands at s·512 + local, local =
 * i + 8·j + 64·k within the brick.
 */
export interface DepthField {
  readonly lattice: FieldLattice;
  readonly level: number;
  /** Slot by brick, −1 when uniform. */
  readonly slotOf: Int32Array;
  /** Brick by slot. */
  readonly brickOf: Uint32Array;
  /** Bricks are measured in the layers [layerFrom − 1, layerTo + 1) only; those of [layerFrom, layerTo) are the field's own. */
  readonly layerFrom: number;
  readonly layerTo: number;
  /** 1 for uniform bricks deeper than the level. */
  readonly deepBrick: Uint8Array;
  /** Depth by node of the slots: measured where `facet` is ≥ 0, else right only in its side of the level. */
  readonly depth: Float32Array;
  /** Closest facet of the nodes within a spacing of the level, as the probe names it; −1 elsewhere. */
  readonly facet: Int32Array;
}

/** What a field is built from. */
export interface FieldSource {
  readonly lattice: FieldLattice;
  readonly level: number;
  /** Layers of bricks the field is for. */
  readonly layerFrom: number;
  readonly layerTo: number;
  /** Rays through the rows of nodes, from the first node of the layer of bricks `gridFrom` on. */
  readonly grid: RayGrid;
  readonly gridFrom: number;
  readonly samples: SurfaceSamples;
  readonly probe: DepthProbe;
  /** Asks the probe at every node and not only near the level: slow, an oracle for tests. */
  readonly everywhere: boolean;
}

/** Depth of a node that is shallow beyond doubt: no more is asked of it. */
const SHALLOW = -1;
/** How much too great a distance to samples may be, as a part of the level, without any node being taken for one far from it. */
const SAMPLE_ERROR = 0.04;

/**
 * Builds the field of some layers of bricks, and of the layer before and after them. Depth changes by
 * no more than the way gone (it is 1-Lipschitz), so only nodes within a spacing of the level can end
 * an edge that crosses it: these are measured by the probe from their closest surface sample, for the
 * others the sample's distance will do. A brick without any node that near the level is uniform.
 * Null when more than `maxNodes` would be kept.
 */
export function buildDepthField(
  source: FieldSource,
  maxNodes: number,
  interrupter: Interrupter,
): DepthField | null {
  const { lattice, level, samples, everywhere, layerFrom, layerTo } = source;
  const [nx, ny, nz] = lattice.bricks;
  const from = nx * ny * Math.max(0, layerFrom - 1);
  const to = nx * ny * Math.min(nz, layerTo + 1);
  const band = lattice.spacing + SAMPLE_ERROR * level;
  const reach = sampleReach(level + band, everywhere ? 0 : level - band);
  // Pages that are never written cost nothing.
  const most = Math.min(maxNodes, BRICK_NODES * sampledBricks(samples, lattice, from, to, reach.reachMm));
  const depth = new Float32Array(most + BRICK_NODES);
  const facet = new Int32Array(most + BRICK_NODES);
  const deepBrick = new Uint8Array(nx * ny * nz);
  const slotOf = new Int32Array(nx * ny * nz).fill(-1);
  const found = closestPointScratch();
  const kept: number[] = [];
  for (let brick = from; brick < to; brick++) {
    if ((brick & 63) === 0) interrupter((brick - from) / (to - from));
    if (readInside(source, brick, reach) === 0) continue;
    if (!nearestSamples(samples, lattice, brick, reach)) {
      deepBrick[brick] = 1;
      continue;
    }
    const at = kept.length * BRICK_NODES;
    const passes = settleNodes(source, brick, reach, band, depth, facet, at, found);
    if (passes) {
      if (at + BRICK_NODES > maxNodes) return null;
      if (!everywhere) shareFacets(source, brick, depth, facet, at, found);
      slotOf[brick] = kept.length;
      kept.push(brick);
    } else deepBrick[brick] = depth[at]! > level ? 1 : 0;
  }
  const nodes = kept.length * BRICK_NODES;
  return withDoubtfulBricks({
    lattice,
    level,
    layerFrom,
    layerTo,
    slotOf,
    brickOf: Uint32Array.from(kept),
    deepBrick,
    depth: depth.subarray(0, nodes),
    facet: facet.subarray(0, nodes),
  });
}

/** How many bricks of the range have samples in them or within reach. */
function sampledBricks(
  { start }: SurfaceSamples,
  { spacing, bricks }: FieldLattice,
  from: number,
  to: number,
  reachMm: number,
): number {
  const [nx, ny, nz] = bricks;
  const steps = Math.ceil(reachMm / (BRICK * spacing));
  let count = 0;
  for (let brick = from; brick < to; brick++) {
    const i = brick % nx;
    const j = Math.floor(brick / nx) % ny;
    const k = Math.floor(brick / (nx * ny));
    const first = Math.max(0, i - steps);
    const last = Math.min(nx, i + steps + 1);
    let isSampled = false;
    for (let c = Math.max(0, k - steps); c <= Math.min(nz - 1, k + steps) && !isSampled; c++) {
      for (let b = Math.max(0, j - steps); b <= Math.min(ny - 1, j + steps) && !isSampled; b++) {
        const row = nx * (b + ny * c);
        isSampled = start[row + first]! < start[row + last]!;
      }
    }
    if (isSampled) count++;
  }
  return count;
}

/** Marks the brick's nodes for the search: inside ones as not yet reached, outside ones as done. Returns how many are inside. */
function readInside(
  { grid, gridFrom, lattice }: FieldSource,
  brick: number,
  { squared }: SampleReach,
): number {
  const { origin, spacing, bricks } = lattice;
  const [nx, ny] = bricks;
  const x0 = origin[0] + BRICK * (brick % nx) * spacing;
  const j0 = BRICK * (Math.floor(brick / nx) % ny);
  const k0 = BRICK * (Math.floor(brick / (nx * ny)) - gridFrom);
  let inside = 0;
  let node = 0;
  for (let k = k0; k < k0 + BRICK; k++) {
    for (let j = j0; j < j0 + BRICK; j++) {
      const row = k * grid.lattice.rows + j;
      const end = grid.offsets[row + 1]!;
      let c = grid.offsets[row]!;
      let winding = 0;
      for (let i = 0; i < BRICK; i++) {
        const x = x0 + i * spacing;
        while (c < end && grid.x[c]! < x) winding += grid.jump[c++]!;
        if (winding >= 1) {
          squared[node++] = Infinity;
          inside++;
        } else squared[node++] = OUTSIDE;
      }
    }
  }
  return inside;
}

/** Writes the depths of a brick's nodes; true when any may lie within a spacing of the level. */
function settleNodes(
  { lattice, level, probe, samples, everywhere }: FieldSource,
  brick: number,
  { squared, sample, reachMm }: SampleReach,
  band: number,
  depth: Float32Array,
  facet: Int32Array,
  at: number,
  found: ClosestPoint,
): boolean {
  const { origin, spacing, bricks } = lattice;
  const [nx, ny] = bricks;
  const x0 = origin[0] + BRICK * (brick % nx) * spacing;
  const y0 = origin[1] + BRICK * (Math.floor(brick / nx) % ny) * spacing;
  const z0 = origin[2] + BRICK * Math.floor(brick / (nx * ny)) * spacing;
  let passes = false;
  for (let n = 0; n < BRICK_NODES; n++) {
    facet[at + n] = -1;
    if (squared[n] === OUTSIDE || squared[n] === SETTLED) {
      depth[at + n] = SHALLOW;
      continue;
    }
    const estimate = squared[n] === Infinity ? reachMm : lattice.spacing * Math.sqrt(squared[n]!);
    depth[at + n] = estimate;
    if (squared[n] !== Infinity && Math.abs(estimate - level) < band) passes = true;
    else if (!everywhere) continue;
    probe.query[0] = x0 + (n & 7) * spacing;
    probe.query[1] = y0 + ((n >> 3) & 7) * spacing;
    probe.query[2] = z0 + (n >> 6) * spacing;
    probe.nearest(everywhere ? -1 : samples.facet[sample[n]!]!, -1, found);
    depth[at + n] = Math.sqrt(found.squared);
    facet[at + n] = found.packed;
  }
  return passes;
}

/** Steps to a node's neighbours in its brick, and where along the step's axis there is none. */
const neighbours = [0, 3, 6].flatMap((shift) => [
  { step: 1 << shift, shift, end: BRICK - 1 },
  { step: -(1 << shift), shift, end: 0 },
]);

/** Offers each measured node the closest facets of its neighbours: what its own sample missed, one of theirs may have found. */
function shareFacets(
  { lattice, probe }: FieldSource,
  brick: number,
  depth: Float32Array,
  facet: Int32Array,
  at: number,
  found: ClosestPoint,
): void {
  const { origin, spacing, bricks } = lattice;
  const [nx, ny] = bricks;
  const x0 = origin[0] + BRICK * (brick % nx) * spacing;
  const y0 = origin[1] + BRICK * (Math.floor(brick / nx) % ny) * spacing;
  const z0 = origin[2] + BRICK * Math.floor(brick / (nx * ny)) * spacing;
  for (let n = 0; n < BRICK_NODES; n++) {
    if (facet[at + n]! < 0) continue;
    probe.query[0] = x0 + (n & 7) * spacing;
    probe.query[1] = y0 + ((n >> 3) & 7) * spacing;
    probe.query[2] = z0 + (n >> 6) * spacing;
    for (const { step, shift, end } of neighbours) {
      if (((n >> shift) & 7) === end) continue;
      const other = facet[at + n + step]!;
      if (other < 0 || other === facet[at + n]) continue;
      probe.on(other, found);
      if (found.squared >= depth[at + n]! * depth[at + n]!) continue;
      probe.nearer(other, found);
      depth[at + n] = Math.sqrt(found.squared);
      facet[at + n] = found.packed;
    }
  }
}

/**
 * Uniform bricks that have a node of the other side next to them. There are none where depths are
 * exact; an error of the samples must not tear the surface.
 */
function doubtfulBricks(field: DepthField): number[] {
  const { layerFrom, layerTo } = field;
  const [nx, ny, nz] = field.lattice.bricks;
  const first = Math.max(0, layerFrom - 1);
  const last = Math.min(nz, layerTo + 1);
  const doubtful: number[] = [];
  for (let brick = nx * ny * first; brick < nx * ny * last; brick++) {
    if (field.slotOf[brick]! >= 0) continue;
    const i = brick % nx;
    const j = Math.floor(brick / nx) % ny;
    const k = Math.floor(brick / (nx * ny));
    let disagrees = false;
    for (let way = 0; way < 27 && !disagrees; way++) {
      const [a, b, c] = [(way % 3) - 1, (Math.floor(way / 3) % 3) - 1, Math.floor(way / 9) - 1];
      const [x, y, z] = [i + a, j + b, k + c];
      if (x < 0 || y < 0 || z < first || x >= nx || y >= ny || z >= last) continue;
      disagrees = faceDisagrees(field, x + nx * (y + ny * z), a, b, c, field.deepBrick[brick]!);
    }
    if (disagrees) doubtful.push(brick);
  }
  return doubtful;
}

/** Whether a neighbour brick, reached by the steps (a, b, c), has a node of another side on the part of its border that faces back. */
function faceDisagrees(
  { slotOf, deepBrick, depth, level }: DepthField,
  neighbour: number,
  a: number,
  b: number,
  c: number,
  side: number,
): boolean {
  const slot = slotOf[neighbour]!;
  if (slot < 0) return deepBrick[neighbour] !== side;
  const last = BRICK - 1;
  for (let z = c < 0 ? last : 0; z <= (c > 0 ? 0 : last); z++) {
    for (let y = b < 0 ? last : 0; y <= (b > 0 ? 0 : last); y++) {
      const row = slot * BRICK_NODES + BRICK * (y + BRICK * z);
      for (let x = a < 0 ? last : 0; x <= (a > 0 ? 0 : last); x++)
        if ((depth[row + x]! > level ? 1 : 0) !== side) return true;
    }
  }
  return false;
}

/** Gives slots to doubtful bricks too; their nodes' depths tell no more than the side. */
function withDoubtfulBricks(field: DepthField): DepthField {
  const bricks = doubtfulBricks(field);
  if (bricks.length === 0) return field;
  const slots = field.brickOf.length;
  const depth = new Float32Array((slots + bricks.length) * BRICK_NODES);
  const facet = new Int32Array(depth.length).fill(-1, field.facet.length);
  depth.set(field.depth);
  facet.set(field.facet);
  bricks.forEach((brick, n) => {
    field.slotOf[brick] = slots + n;
    const at = (slots + n) * BRICK_NODES;
    depth.fill(field.deepBrick[brick] === 1 ? Infinity : SHALLOW, at, at + BRICK_NODES);
  });
  return { ...field, brickOf: Uint32Array.from([...field.brickOf, ...bricks]), depth, facet };
}

/** Whether node (i, j, k), anywhere in the lattice, lies deeper than the level. */
export function nodeIsDeep(field: DepthField, i: number, j: number, k: number): boolean {
  const [nx, ny] = field.lattice.bricks;
  const brick = (i >> 3) + nx * ((j >> 3) + ny * (k >> 3));
  const slot = field.slotOf[brick]!;
  if (slot < 0) return field.deepBrick[brick] === 1;
  return field.depth[slot * BRICK_NODES + localNode(i, j, k)]! > field.level;
}

export const localNode = (i: number, j: number, k: number): number =>
  (i & 7) + BRICK * ((j & 7) + BRICK * (k & 7));
