import type { Vec3 } from '../vector.ts';
import type { FootTrim } from './dripOpenings.ts';
import type { ChosenContacts, Contact } from './loadLog.ts';

/** One support: a tip under the part and the strut below it. Print frame, lengths mm. */
export interface Support {
  readonly contact: Omit<Contact, 'route'>;
  readonly tipMm: number;
  /** Greatest pull on the tip, N, and its layer. */
  readonly loadN: number;
  readonly loadLayer: number;
  /** The strut's middle line from under the tip to its foot: two points where it is upright, three where it leans first. */
  readonly line: readonly Vec3[];
  readonly strutMm: number;
  /** On the plate; or on the part, where no way to the plate is free. */
  readonly stands: 'plate' | 'part';
  /** Its longest stretch between what holds it, mm: foot, ties and tip. Over that it must not buckle. */
  readonly freeMm: number;
  /** Buckles under its load even as wide as it may be. */
  readonly slender: boolean;
  /** Where its foot ends for a drip opening of the raft. */
  readonly trims: readonly FootTrim[];
}

/** A slanted strut between two others, which it keeps from buckling. Print frame, lengths mm. */
export interface Tie {
  readonly from: Vec3;
  readonly to: Vec3;
  readonly widthMm: number;
  /** What it must bear to hold them, N. */
  readonly loadN: number;
}

/** Supports of a posed part, and how they hold. */
export interface SupportPlan {
  readonly supports: readonly Support[];
  readonly ties: readonly Tie[];
  /** Starts that no strut gets to. */
  readonly unreached: ChosenContacts['unreached'];
  /** What has to be held and is not, because the foot of its strut would leave the plate. */
  readonly offPlate: ChosenContacts['offPlate'];
  /** Supports placed by hand that hold nothing, by their places in the builder's list, and why. */
  readonly idle: readonly { readonly index: number; readonly why: 'no underside' | 'taken' | 'no way' }[];
  /** How many times its load the weakest tip, or the plate, can take, by layer. */
  readonly reserve: Float64Array;
  readonly worst: { readonly reserve: number; readonly layer: number; readonly at: Vec3 | null } | null;
  /** The distance of tips and the slope up to which surface was held that it was planned with at last. */
  readonly spacingMm: number;
  readonly heldSlopeDeg: number;
}

/** Feet, with their raft, that are beyond the plate less its margin, or would be. */
export interface RaftOutside {
  /** How many places are not held because of that, and how many feet that stand reach out. */
  readonly unheld: number;
  readonly standing: number;
  /** The one that reaches out furthest: how far, mm, its tip and the layer of that. */
  readonly beyondMm: number;
  readonly at: Vec3;
  readonly layer: number;
  /** What the plate would have to be along x and y, mm, its margin taken off. */
  readonly roomMm: readonly [number, number];
  /** Degrees about z by which the part is to be turned further for all of them to be on the plate; null where no turn does. */
  readonly turnZ: number | null;
}

/** What a plan comes to. */
export interface SupportFacts extends SupportPlan {
  /** Of struts, tips and raft, about. */
  readonly volumeMm3: number;
  /** Null where all feet that there have to be are on the plate. */
  readonly outside: RaftOutside | null;
}
