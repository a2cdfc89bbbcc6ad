import type { Affine } from '../affine.ts';
import type { Joint } from './joint.ts';

/** Two parts of the kit that meet; `first` stands before `second` in the manifest. */
export interface JointFacts {
  readonly first: string;
  readonly second: string;
  readonly joint: Joint;
  /** From the joint's frame to the print frame of the first part, and of the second. */
  readonly toPrint: readonly [Affine, Affine];
}

/** The part that goes into the other and the one that takes it; null where neither does. */
export function plugAndSocket({ first, second, joint: { plug } }: JointFacts): {
  readonly plug: string;
  readonly socket: string;
} | null {
  if (plug === null) return null;
  return plug === 'first' ? { plug: first, socket: second } : { plug: second, socket: first };
}
