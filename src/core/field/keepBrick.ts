import { type BrickSide, brickSide, SHALLOW } from './fieldKernel.ts';
import { BRICK, BRICK_NODES, type FieldLattice } from './fieldLattice.ts';
import { type KeptRegion, keptDistanceScratch, nearestKept } from './keptRegion.ts';

/** Regions that stay solid, at work on the bricks of one field. */
export interface BrickKeeper {
  readonly regions: readonly KeptRegion[];
  readonly lattice: FieldLattice;
  readonly level: number;
  /** Stands in `facet` for a node near a region with no facet near. */
  readonly noFacet: number;
  /** What each region has kept from being hollow, mm³. */
  readonly keptMm3: Float64Array;
}

const found = keptDistanceScratch();

/**
 * Lowers the depths of a measured brick's nodes to level + distance where a region is nearer, and
 * returns the side the brick has then. `depth` and `facet` hold the nodes from `at` on (those of a
 * deep brick need not be filled in). `counts` false leaves `keptMm3` alone.
 */
export function keepBrick(
  keeper: BrickKeeper,
  brick: number,
  side: BrickSide,
  depth: Float32Array,
  facet: Int32Array,
  at: number,
  counts: boolean,
): BrickSide {
  if (side === brickSide.shallow) return side;
  const { regions, lattice, level } = keeper;
  const { origin, spacing, bricks } = lattice;
  const [nx, ny] = bricks;
  const x0 = origin[0] + BRICK * (brick % nx) * spacing;
  const y0 = origin[1] + BRICK * (Math.floor(brick / nx) % ny) * spacing;
  const z0 = origin[2] + BRICK * Math.floor(brick / (nx * ny)) * spacing;
  const toMiddle = ((BRICK - 1) / 2) * spacing;
  const beyond = Math.sqrt(3) * toMiddle + spacing;
  nearestKept(regions, x0 + toMiddle, y0 + toMiddle, z0 + toMiddle, found, beyond);
  if (found.region < 0) return side;
  if (side === brickSide.deep) {
    if (found.distance < -beyond) {
      if (counts) keeper.keptMm3[found.region]! += BRICK_NODES * spacing ** 3;
      return brickSide.shallow;
    }
    depth.fill(Infinity, at, at + BRICK_NODES);
    facet.fill(-1, at, at + BRICK_NODES);
  }
  let passes = false;
  let deepest = SHALLOW;
  for (let n = 0; n < BRICK_NODES; n++) {
    const node = at + n;
    nearestKept(
      regions,
      x0 + (n & 7) * spacing,
      y0 + ((n >> 3) & 7) * spacing,
      z0 + (n >> 6) * spacing,
      found,
    );
    if (counts) addKept(keeper, depth[node]!);
    if (Math.abs(found.distance) <= spacing && depth[node]! > level - spacing) {
      passes = true;
      if (facet[node]! < 0) facet[node] = keeper.noFacet;
    } else if (facet[node]! >= 0) passes = true;
    if (level + found.distance < depth[node]!) depth[node] = level + found.distance;
    if (depth[node]! > deepest) deepest = depth[node]!;
  }
  if (passes) return brickSide.passes;
  return deepest > level ? brickSide.deep : brickSide.shallow;
}

/** Adds a node's share of the hollow that the region found last keeps solid, by how far it lies within both. */
function addKept({ lattice: { spacing }, level, keptMm3 }: BrickKeeper, depth: number): void {
  const hollow = Math.min(1, Math.max(0, 0.5 + (depth - level) / spacing));
  const kept = Math.min(1, Math.max(0, 0.5 - found.distance / spacing));
  if (hollow * kept > 0) keptMm3[found.region]! += hollow * kept * spacing ** 3;
}

/** How many bricks of a range may pass the surface of a region. */
export function bricksAtKept(
  { regions, lattice }: Pick<BrickKeeper, 'regions' | 'lattice'>,
  from: number,
  to: number,
): number {
  if (regions.length === 0) return 0;
  const { origin, spacing, bricks } = lattice;
  const [nx, ny] = bricks;
  const toMiddle = ((BRICK - 1) / 2) * spacing;
  const beyond = Math.sqrt(3) * toMiddle + spacing;
  let count = 0;
  for (let brick = from; brick < to; brick++) {
    nearestKept(
      regions,
      origin[0] + BRICK * (brick % nx) * spacing + toMiddle,
      origin[1] + BRICK * (Math.floor(brick / nx) % ny) * spacing + toMiddle,
      origin[2] + BRICK * Math.floor(brick / (nx * ny)) * spacing + toMiddle,
      found,
      beyond,
    );
    if (Math.abs(found.distance) <= beyond && found.region >= 0) count++;
  }
  return count;
}
