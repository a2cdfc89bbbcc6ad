import type { Vec3 } from '../vector.ts';
import type { ChamberBlocks } from './chamberBlocks.ts';

/** A point of a node that surely lies in the chamber: the middle of its deepest cell. */
export const nodePlace = ({ deepest }: Pick<ChamberBlocks, 'deepest'>, node: number): Vec3 => [
  deepest[3 * node]!,
  deepest[3 * node + 1]!,
  deepest[3 * node + 2]!,
];
