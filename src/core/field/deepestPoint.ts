import type { Interrupter } from '../interrupter.ts';
import { closestPoint, closestPointScratch } from './closestPoint.ts';
import { BRICK, type DepthField } from './depthField.ts';

/** Measurements spent on the search at most; flat plates have a whole sheet of deepest points. */
const MOST_MEASUREMENTS = 1500;
const STEP_END_MM = 0.01;

/**
 * The greatest depth found in the part, mm: a measured lower bound, right to about 0.01 mm where the
 * deepest place is not lost among many. Starts at the bricks that could hold it, in order of
 * promise, and climbs.
 */
export function deepestDepth(field: DepthField, interrupter: Interrupter): number {
  const { brickDepth, lattice } = field;
  const reach = (BRICK / 2) * Math.sqrt(3) * lattice.spacing;
  const order = bricksByDepth(brickDepth, -reach);
  const climb: Climb = { x: 0, y: 0, z: 0, depth: 0, facet: -1, left: MOST_MEASUREMENTS };
  let best = 0;
  for (const brick of order) {
    if (brickDepth[brick]! + reach <= best || climb.left <= 0) break;
    interrupter(1 - climb.left / MOST_MEASUREMENTS);
    climbFrom(field, brick, climb);
    if (climb.depth > best) best = climb.depth;
  }
  return best;
}

interface Climb {
  x: number;
  y: number;
  z: number;
  depth: number;
  facet: number;
  left: number;
}

function bricksByDepth(brickDepth: Float32Array, least: number): Uint32Array {
  const bricks: number[] = [];
  for (let brick = 0; brick < brickDepth.length; brick++) if (brickDepth[brick]! > least) bricks.push(brick);
  return Uint32Array.from(bricks).sort((a, b) => brickDepth[b]! - brickDepth[a]! || a - b);
}

const found = closestPointScratch();

/** Pattern search from a brick's middle; never leaves the inside, since depth outside counts as none. */
function climbFrom(field: DepthField, brick: number, climb: Climb): void {
  const { origin, spacing, bricks } = field.lattice;
  const [nx, ny] = bricks;
  climb.x = origin[0] + spacing * (BRICK * (brick % nx) + BRICK / 2);
  climb.y = origin[1] + spacing * (BRICK * (Math.floor(brick / nx) % ny) + BRICK / 2);
  climb.z = origin[2] + spacing * (BRICK * Math.floor(brick / (nx * ny)) + BRICK / 2);
  closestPoint(field.tree, climb.x, climb.y, climb.z, field.brickFacet[brick]!, found);
  climb.depth = field.brickDepth[brick]! > 0 ? Math.sqrt(found.squared) : 0;
  climb.facet = found.packed;
  for (let step = (BRICK / 2) * spacing; step > STEP_END_MM && climb.left > 0; ) {
    if (!climbOnce(field, climb, step)) step /= 2;
  }
}

/** Goes to the best of the 26 neighbours at this step if it is deeper. */
function climbOnce(field: DepthField, climb: Climb, step: number): boolean {
  let best = climb.depth;
  let bestWay = -1;
  for (let way = 0; way < 27; way++) {
    if (way === 13) continue;
    const x = climb.x + step * ((way % 3) - 1);
    const y = climb.y + step * ((Math.floor(way / 3) % 3) - 1);
    const z = climb.z + step * (Math.floor(way / 9) - 1);
    climb.left--;
    closestPoint(field.tree, x, y, z, climb.facet, found);
    const depth = Math.sqrt(found.squared);
    if (depth > best && isInside(field, x, y, z)) {
      best = depth;
      bestWay = way;
    }
  }
  if (bestWay < 0) return false;
  climb.x += step * ((bestWay % 3) - 1);
  climb.y += step * ((Math.floor(bestWay / 3) % 3) - 1);
  climb.z += step * (Math.floor(bestWay / 9) - 1);
  climb.depth = best;
  return true;
}

/** Inside test off the nodes: the row nearest to the point decides, which a depth above half a row's diagonal makes safe. */
function isInside({ grid, lattice }: DepthField, x: number, y: number, z: number): boolean {
  const j = Math.round((y - lattice.origin[1]) / lattice.spacing);
  const k = Math.round((z - lattice.origin[2]) / lattice.spacing);
  if (j < 0 || k < 0 || j >= grid.lattice.rows || k >= grid.lattice.layers) return false;
  const row = k * grid.lattice.rows + j;
  let winding = 0;
  for (let c = grid.offsets[row]!; c < grid.offsets[row + 1]! && grid.x[c]! < x; c++)
    winding += grid.jump[c]!;
  return winding >= 1;
}
