import type { Affine } from '../affine.ts';
import type { Vec3 } from '../vector.ts';
import type { FitChange } from './fitChange.ts';
import type { Joint } from './joint.ts';
import type { JointClearance } from './jointClearance.ts';
import type { JointLoad } from './jointLoads.ts';
import type { PinStrength } from './pinStrength.ts';

/** Two parts of the kit that meet; `first` stands before `second` in the manifest. */
export interface FoundJoint {
  readonly first: string;
  readonly second: string;
  readonly joint: Joint;
  /** From the joint's frame to the print frame of the first part, and of the second. */
  readonly toPrint: readonly [Affine, Affine];
}

/** Two parts of which one lies in the other by more than half. */
export interface SwallowedPair {
  readonly first: string;
  readonly second: string;
}

export interface FittedJoint extends FoundJoint {
  /** How its gaps come out other than sculpted. */
  readonly fit: FitChange;
}

export interface JointFacts extends FittedJoint {
  /** What hangs on it; null where it bears nothing, or not the whole figure was measured. */
  readonly load: JointLoad | null;
  /** The name of what was decided about it; null where nothing was. */
  readonly decided: string | null;
  /** Null where none was decided on, or no load is known. */
  readonly pin: PinFacts | null;
  /** Null where none was decided on. */
  readonly clearance: JointClearance | null;
}

export interface PinFacts {
  readonly load: JointLoad;
  readonly strength: PinStrength;
  /** Where it passes from one part to the other, in the joint's frame. */
  readonly at: Vec3;
}

/** The part that goes into the other and the one that takes it; null where neither does. */
export function plugAndSocket({ first, second, joint: { plug } }: FoundJoint): {
  readonly plug: string;
  readonly socket: string;
} | null {
  if (plug === null) return null;
  return plug === 'first' ? { plug: first, socket: second } : { plug: second, socket: first };
}
