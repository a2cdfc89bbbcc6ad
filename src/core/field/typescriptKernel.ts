import { type ClosestPoint, closestPointScratch } from './closestPoint.ts';
import { type DepthProbe, treeProbe, walkingProbe } from './depthProbe.ts';
import {
  type BrickMeasurer,
  type BrickSide,
  brickSide,
  type FieldKernel,
  type FieldSurface,
  SHALLOW,
} from './fieldKernel.ts';
import { BRICK, BRICK_NODES } from './fieldLattice.ts';
import { nearestSamples, OUTSIDE, type SampleReach, SETTLED, sampleReach } from './nearestSamples.ts';

/**
 * The kernel in plain code: what every other is measured against, and what stands in where none can be
 * had. Depth changes by no more than the way gone (it is 1-Lipschitz), so only nodes within a spacing
 * of the level can end an edge that crosses it: these are measured by walking over the surface from
 * their closest sample, for the others the sample's distance will do.
 */
export const typescriptKernel: FieldKernel = (surface) =>
  openMeasurer(surface, walkingProbe(surface.mesh, surface.low, surface.high), false);

/** Asks a tree over all facets at every node, and never a sample: slow, an oracle for tests. */
export const treeKernel: FieldKernel = (surface) => openMeasurer(surface, treeProbe(surface.mesh), true);

interface Work {
  readonly surface: FieldSurface;
  readonly probe: DepthProbe;
  readonly everywhere: boolean;
  readonly reach: SampleReach;
  readonly depth: Float32Array;
  readonly facet: Int32Array;
  readonly found: ClosestPoint;
}

function openMeasurer(surface: FieldSurface, probe: DepthProbe, everywhere: boolean): BrickMeasurer {
  const work = {
    surface,
    probe,
    everywhere,
    reach: sampleReach(surface.reachMm, everywhere ? 0 : surface.settledMm),
    depth: new Float32Array(BRICK_NODES),
    facet: new Int32Array(BRICK_NODES),
    found: closestPointScratch(),
  };
  return {
    probe,
    depth: work.depth,
    facet: work.facet,
    measureBrick: (brick) => measureBrick(work, brick),
    close: () => {},
  };
}

function measureBrick(work: Work, brick: number): BrickSide {
  const { surface, everywhere, reach, depth } = work;
  if (readInside(surface, brick, reach) === 0) return brickSide.shallow;
  if (!nearestSamples(surface.samples, surface.lattice, brick, reach)) return brickSide.deep;
  if (settleNodes(work, brick)) {
    if (!everywhere) shareFacets(work, brick);
    return brickSide.passes;
  }
  return depth[0]! > surface.level ? brickSide.deep : brickSide.shallow;
}

/** Marks the brick's nodes for the search: inside ones as not yet reached, outside ones as done. Returns how many are inside. */
function readInside(
  { grid, gridFrom, lattice }: FieldSurface,
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
  { surface, probe, everywhere, reach, depth, facet, found }: Work,
  brick: number,
): boolean {
  const { lattice, level, samples, bandMm } = surface;
  const { squared, sample, reachMm } = reach;
  const { origin, spacing, bricks } = lattice;
  const [nx, ny] = bricks;
  const x0 = origin[0] + BRICK * (brick % nx) * spacing;
  const y0 = origin[1] + BRICK * (Math.floor(brick / nx) % ny) * spacing;
  const z0 = origin[2] + BRICK * Math.floor(brick / (nx * ny)) * spacing;
  let passes = false;
  for (let n = 0; n < BRICK_NODES; n++) {
    facet[n] = -1;
    if (squared[n] === OUTSIDE || squared[n] === SETTLED) {
      depth[n] = SHALLOW;
      continue;
    }
    const estimate = squared[n] === Infinity ? reachMm : lattice.spacing * Math.sqrt(squared[n]!);
    depth[n] = estimate;
    if (squared[n] !== Infinity && Math.abs(estimate - level) < bandMm) passes = true;
    else if (!everywhere) continue;
    probe.query[0] = x0 + (n & 7) * spacing;
    probe.query[1] = y0 + ((n >> 3) & 7) * spacing;
    probe.query[2] = z0 + (n >> 6) * spacing;
    probe.nearest(everywhere ? -1 : samples.facet[sample[n]!]!, -1, found);
    depth[n] = Math.sqrt(found.squared);
    facet[n] = found.packed;
  }
  return passes;
}

/** Steps to a node's neighbours in its brick, and where along the step's axis there is none. */
const neighbours = [0, 3, 6].flatMap((shift) => [
  { step: 1 << shift, shift, end: BRICK - 1 },
  { step: -(1 << shift), shift, end: 0 },
]);

/** Offers each measured node the closest facets of its neighbours: what its own sample missed, one of theirs may have found. */
function shareFacets({ surface, probe, depth, facet, found }: Work, brick: number): void {
  const { lattice } = surface;
  const { origin, spacing, bricks } = lattice;
  const [nx, ny] = bricks;
  const x0 = origin[0] + BRICK * (brick % nx) * spacing;
  const y0 = origin[1] + BRICK * (Math.floor(brick / nx) % ny) * spacing;
  const z0 = origin[2] + BRICK * Math.floor(brick / (nx * ny)) * spacing;
  for (let n = 0; n < BRICK_NODES; n++) {
    if (facet[n]! < 0) continue;
    probe.query[0] = x0 + (n & 7) * spacing;
    probe.query[1] = y0 + ((n >> 3) & 7) * spacing;
    probe.query[2] = z0 + (n >> 6) * spacing;
    for (const { step, shift, end } of neighbours) {
      if (((n >> shift) & 7) === end) continue;
      const other = facet[n + step]!;
      if (other < 0 || other === facet[n]) continue;
      probe.on(other, found);
      if (found.squared >= depth[n]! * depth[n]!) continue;
      probe.nearer(other, found);
      depth[n] = Math.sqrt(found.squared);
      facet[n] = found.packed;
    }
  }
}
