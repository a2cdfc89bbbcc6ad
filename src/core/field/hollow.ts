import { type Interrupter, portion } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { failure, type Result, success } from '../result.ts';
import type { Vec3 } from '../vector.ts';
import type { Cavity } from './cavity.ts';
import type { FieldKernel } from './fieldKernel.ts';
import { BRICK, type FieldLattice } from './fieldLattice.ts';
import { type HollowSlice, hollowSlice, type SliceRequest } from './hollowSlice.ts';
import { joinSlices } from './joinSlices.ts';
import type { KeptRegion } from './keptRegion.ts';
import { typescriptKernel } from './typescriptKernel.ts';

export interface HollowOptions {
  readonly wallMm: number;
  /** Regions that stay solid whatever their depth; none when absent. */
  readonly kept?: readonly KeptRegion[];
  /** Hollows smaller than this stay solid. */
  readonly leastChamberMm3: number;
  /** Lattice nodes kept at most, about 14 bytes each; the field is coarsened to fit. */
  readonly maxNodes: number;
  /** Spacing of the field to begin with, mm, at most three quarters of the wall; absent = as fine as the cavity's rounding asks. */
  readonly spacingMm?: number;
  /** Asks a tree over all facets for every distance instead of walking from surface samples: slow, an oracle for tests. */
  readonly byTree?: boolean;
  /** Cuts into this many slices rather than by the part's height: for tests. */
  readonly slices?: number;
}

/** Finest part of the wall that the field begins with, and how far a chord of the finest arc a cavity can have (radius = wall) may lie off it. */
const SHARE = 1 / 3;
const CHORD_ERROR_MM = 0.0625;
/**
 * Large parts are begun more coarsely, up to this part of the wall and these mm: creases are less of them, so
 * that they keep the accuracy of the design (measured; smaller parts would not, and cost little).
 */
const LARGE_SHARE = 0.4;
const LARGE_MM = 0.58;
/** Faces of cells that the sides of the box round a part may have before it counts as large. Engineering choice. */
const MOST_FACES = 450_000;
/** Coarser than this part of the wall the field no longer tells the wall from the far side. */
const COARSEST = 0.75;
const COARSENING = 1.26;

/** Layers of bricks a slice has on the average; fewer would be measured twice too often where slices meet. */
const LAYERS_PER_SLICE = 18;

/**
 * Hollows a part: the cavity is everything deeper than the wall, by true distance to the nearest
 * surface (sculpted voids included, so that a wall stands round them too), less the regions kept.
 *
 * `mesh` must be closed, outward and free of facets inside its own solid, in mm. Inside means
 * winding ≥ 1. Fails `option-invalid` for a wall that is no positive number and `grid-too-large`
 * when the part cannot be resolved within `maxNodes`.
 */
export function hollow(
  mesh: Mesh,
  options: HollowOptions,
  interrupter: Interrupter,
  kernel: FieldKernel = typescriptKernel,
): Result<Cavity> {
  const steps = hollowSteps(mesh, options, portion(interrupter, 0.9, 1));
  let step = steps.next();
  while (!step.done) {
    const requests = step.value;
    step = steps.next(
      requests.map((request, n) =>
        hollowSlice(
          request,
          portion(interrupter, (0.9 * n) / requests.length, (0.9 * (n + 1)) / requests.length),
          kernel,
        ),
      ),
    );
  }
  return step.value;
}

/**
 * `hollow` for callers who have the slices made elsewhere: yields requests, takes their slices in the
 * same order, and returns the cavity. The result does not depend on who makes them.
 */
export function* hollowSteps(
  mesh: Mesh,
  {
    wallMm,
    kept = [],
    leastChamberMm3,
    maxNodes,
    spacingMm,
    byTree = false,
    slices: sliceCount,
  }: HollowOptions,
  interrupter: Interrupter,
): Generator<SliceRequest[], Result<Cavity>, (HollowSlice | null)[]> {
  if (!(wallMm > 0 && Number.isFinite(wallMm))) {
    return failure('option-invalid', `A wall of ${wallMm} mm cannot be made; give a number above 0.`);
  }
  const bounds = boundsOf(mesh);
  if (bounds === null) return failure('stl-no-triangles', 'The mesh has no triangles to hollow.');
  for (
    let spacing = spacingMm ?? firstSpacing(bounds, wallMm);
    spacing <= COARSEST * wallMm;
    spacing *= COARSENING
  ) {
    const lattice = latticeAround(bounds, spacing);
    if (BRICK ** 3 * lattice.bricks[0] * lattice.bricks[1] * lattice.bricks[2] > 64 * maxNodes) continue;
    const whole = { mesh, lattice, wallMm, kept, layerFrom: 0, layerTo: lattice.bricks[2], maxNodes, byTree };
    const slices = yield sliceRequests(whole, sliceCount ?? usualSlices(lattice));
    if (!areWithin(slices, maxNodes)) continue;
    const joined = joinSlices(mesh, lattice, slices, wallMm, leastChamberMm3, interrupter);
    if (joined !== null) return success(joined);
    // Faces settled in a chain across a seam: rare, and then one slice has no seam.
    const single = yield [whole];
    if (!areWithin(single, maxNodes)) continue;
    return success(joinSlices(mesh, lattice, single, wallMm, leastChamberMm3, interrupter)!);
  }
  return failure(
    'grid-too-large',
    `The part is too large for a wall of ${wallMm} mm: its cavity needs more than ${maxNodes} field nodes. Give a thicker wall, or cut the part.`,
  );
}

function areWithin(slices: readonly (HollowSlice | null)[], maxNodes: number): slices is HollowSlice[] {
  return (
    slices.every((slice) => slice !== null) && slices.reduce((sum, { nodes }) => sum + nodes, 0) <= maxNodes
  );
}

/** A power of two, so that two threads share evenly. */
const usualSlices = ({ bricks }: FieldLattice): number =>
  2 ** Math.max(0, Math.round(Math.log2(bricks[2] / LAYERS_PER_SLICE)));

/** Slices with like numbers of facets. */
function sliceRequests(whole: SliceRequest, count: number): SliceRequest[] {
  const { mesh, lattice } = whole;
  const layers = lattice.bricks[2];
  const before = cornersBefore(mesh, lattice);
  const cuts = Array.from({ length: count + 1 }, (_, n) => {
    const share = (before[layers]! * n) / count;
    let layer = 0;
    while (before[layer]! < share) layer++;
    return n === count ? layers : layer;
  });
  return cuts
    .slice(1)
    .map((layerTo, n) => ({ ...whole, layerFrom: cuts[n]!, layerTo }))
    .filter(({ layerFrom, layerTo }) => layerFrom < layerTo);
}

/** How many corners lie below each layer of bricks. */
function cornersBefore({ positions }: Mesh, { origin, spacing, bricks }: FieldLattice): Float64Array {
  const before = new Float64Array(bricks[2] + 1);
  const perMm = 1 / (BRICK * spacing);
  for (let i = 2; i < positions.length; i += 3) {
    const layer = Math.floor((positions[i]! - origin[2]) * perMm);
    before[Math.max(0, Math.min(layer, bricks[2] - 1)) + 1]!++;
  }
  for (let layer = 1; layer < before.length; layer++) before[layer]! += before[layer - 1]!;
  return before;
}

/** The spacing that accuracy asks for, mm. */
function firstSpacing({ min, max }: { min: number[]; max: number[] }, wallMm: number): number {
  const [x, y, z] = min.map((low, axis) => max[axis]! - low) as [number, number, number];
  const fine = Math.min(SHARE * wallMm, Math.sqrt((8 * wallMm * CHORD_ERROR_MM) / 3));
  const byFaces = Math.sqrt((2 * (x * y + y * z + z * x)) / MOST_FACES);
  return Math.max(fine, Math.min(byFaces, LARGE_SHARE * wallMm, LARGE_MM));
}

function boundsOf({ positions, triangles }: Mesh): { min: number[]; max: number[] } | null {
  if (triangles.length === 0) return null;
  const min = [Infinity, Infinity, Infinity];
  const max = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    const value = positions[i]!;
    if (value < min[i % 3]!) min[i % 3] = value;
    if (value > max[i % 3]!) max[i % 3] = value;
  }
  return { min, max };
}

/** Bricks over the bounds, centred, with at least two nodes to spare on every side. */
function latticeAround({ min, max }: { min: number[]; max: number[] }, spacing: number): FieldLattice {
  const bricks = min.map((low, axis) => Math.ceil(((max[axis]! - low) / spacing + 4) / BRICK));
  const origin = min.map((low, axis) => (low + max[axis]! - spacing * (BRICK * bricks[axis]! - 1)) / 2);
  return { origin: origin as unknown as Vec3, spacing, bricks: bricks as unknown as Vec3 };
}
