import { uninterrupted } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { turnedRound } from '../core/mesh/turnedRound.ts';
import type { Vec3 } from '../core/vector.ts';
import { boxMesh } from './boxMesh.ts';
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
  const box = boxMesh({
    min: min.map((low) => low - distance) as unknown as Vec3,
    max: max.map((high) => high + distance) as unknown as Vec3,
  });
  return inward ? { ...box, triangles: turnedRound(box.triangles) } : box;
}
