import { type Interrupter, portion } from '../interrupter.ts';
import { type Box, grown, type Vec3 } from '../vector.ts';
import {
  castSolid,
  type JointBody,
  jointPlaces,
  pieceStep,
  sharedBox,
  sharedLattice,
} from './jointPlaces.ts';

/** A clearance that is missed by no more than this, mm, is there: less is rounding of the files. */
export const RELIEF_SLACK_MM = 0.01;
/** Room round the pieces that stand too near, mm: surface between two pieces, and round an edge, may be nearer. */
const MARGIN_MM = 0.3;

/**
 * The space in which two parts stand nearer to each other than `clearanceMm`, with room for all that is to be taken
 * away there; null where the clearance is kept everywhere. Frame of the bodies, mm.
 */
export function reliefBox(
  giver: JointBody,
  other: JointBody,
  clearanceMm: number,
  interrupter: Interrupter,
): Box | null {
  const box = sharedBox(giver.bounds, other.bounds, clearanceMm);
  if (box.min.some((low, axis) => low > box.max[axis]!)) return null;
  const stepMm = pieceStep(giver, other, box, portion(interrupter, 0, 0.1));
  const lattice = sharedLattice(giver, other);
  const giverSolid = lattice && castSolid(giver, lattice, portion(interrupter, 0.1, 0.2));
  const otherSolid = lattice && castSolid(other, lattice, portion(interrupter, 0.2, 0.3));
  const places = [
    ...jointPlaces(giver, other, otherSolid, true, box, stepMm, clearanceMm, portion(interrupter, 0.3, 0.6)),
    ...jointPlaces(other, giver, giverSolid, false, box, stepMm, clearanceMm, portion(interrupter, 0.6, 1)),
  ];
  const near = places.filter(({ gapMm }) => gapMm < clearanceMm - RELIEF_SLACK_MM);
  if (near.length === 0) return null;
  const most = (pick: (...values: number[]) => number): Vec3 => {
    const along = (axis: 0 | 1 | 2) => near.reduce((best, { at }) => pick(best, at[axis]), near[0]!.at[axis]);
    return [along(0), along(1), along(2)];
  };
  return grown({ min: most(Math.min), max: most(Math.max) }, clearanceMm + stepMm + MARGIN_MM);
}
