import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import type { Box } from '../vector.ts';
import type { JointBody } from './jointPlaces.ts';
import { signedDistances } from './signedDistance.ts';
import { forSurfacePieces } from './surfacePieces.ts';

const PIECE_MM2 = 0.04;

/** Least distance of a surface from a closed body over the facets that reach into `box`, mm, negative inside; null where none is nearer than `withinMm`. */
export function leastGap(
  surface: Mesh,
  { tree }: Pick<JointBody, 'tree'>,
  box: Box,
  withinMm: number,
  interrupter: Interrupter,
): number | null {
  const distanceTo = signedDistances(tree);
  let least: number | null = null;
  const visit = (at: readonly [number, number, number]): void => {
    const near = distanceTo(at, withinMm);
    if (near !== null && (least === null || near.distance < least)) least = near.distance;
  };
  forSurfacePieces(surface, box, PIECE_MM2, visit, interrupter);
  return least;
}
