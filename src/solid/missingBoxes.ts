import { uninterrupted } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { turnedRound } from '../core/mesh/turnedRound.ts';
import type { Unclean } from './closedPatch.ts';
import type { ConvexBody } from './convexBody.ts';
import { windingsAt } from './windingsAt.ts';

/** Winding numbers that can be made good by boxes round everything. */
const mostBoxes = 3;

/**
 * Boxes round everything, outward or inward, that bring the closed neighbourhood's winding number
 * about every body to what it is in the whole.
 */
export function missingBoxes(
  closed: Mesh,
  bodies: readonly ConvexBody[],
  windings: readonly number[],
): Mesh[] | Unclean {
  const middles = bodies.map(({ middle }) => middle);
  const around = windingsAt(closed, middles, uninterrupted);
  const missing = bodies.map((_, n) => windings[n]! - around[n]!);
  const count = missing[0]!;
  if (missing.some((other) => other !== count) || Math.abs(count) > mostBoxes) {
    return { unclean: 'inside and outside cannot be told apart there' };
  }
  return Array.from({ length: Math.abs(count) }, (_, n) => boxRound(closed, bodies, n + 1, count < 0));
}

function boxRound(mesh: Mesh, bodies: readonly ConvexBody[], distance: number, inward: boolean): Mesh {
  const min = [0, 1, 2].map((axis) => Math.min(...bodies.map((body) => body.min[axis]!)));
  const max = [0, 1, 2].map((axis) => Math.max(...bodies.map((body) => body.max[axis]!)));
  for (let at = 0; at < mesh.positions.length; at++) {
    min[at % 3] = Math.min(min[at % 3]!, mesh.positions[at]!);
    max[at % 3] = Math.max(max[at % 3]!, mesh.positions[at]!);
  }
  const positions = new Float32Array(24);
  for (let at = 0; at < 24; at++) {
    const axis = at % 3;
    const high = (Math.floor(at / 3) >> axis) & 1;
    positions[at] = high === 1 ? max[axis]! + distance : min[axis]! - distance;
  }
  return { positions, triangles: inward ? turnedRound(boxTriangles) : boxTriangles };
}

/** Corner number: bit 0 = high x, bit 1 = high y, bit 2 = high z. */
const boxTriangles = Uint32Array.from(
  [
    [0, 2, 3, 0, 3, 1],
    [4, 5, 7, 4, 7, 6],
    [0, 1, 5, 0, 5, 4],
    [2, 6, 7, 2, 7, 3],
    [0, 4, 6, 0, 6, 2],
    [1, 3, 7, 1, 7, 5],
  ].flat(),
);
