import type { Vec3 } from '../vector.ts';
import type { Route } from './routeStrut.ts';

/** A place where a tip touches the part from below. Print frame, mm. */
export interface Contact {
  readonly at: Vec3;
  /** The layer that first rests on it. */
  readonly layer: number;
  /** Nothing else holds what starts there; otherwise it is under an overhang of something held. */
  readonly isStart: boolean;
  /** Where no other place would do, a tip touches the show side. */
  readonly onShow: boolean;
  /** Its place in the builder's own list; null where it was planned. */
  readonly byHand: number | null;
  /** Its tip is at least this wide, mm. */
  readonly leastMm: number;
  /** The strut's way from there. */
  readonly route: Route;
}

/** Solid of one layer that hangs together with what is printed below it. */
export interface BodyLoad {
  /** Number of the body; after a merge the lower one goes on. */
  readonly body: number;
  readonly areaMm2: number;
  /** Middle of that area, mm. */
  readonly x: number;
  readonly y: number;
}

/**
 * What happens to the bodies of a print in one layer, in this order: bodies become one, contacts begin to hold
 * them, the film pulls on them.
 */
export interface LayerStep {
  readonly merges: readonly (readonly [into: number, from: number])[];
  /** Numbers of contacts, with the body of each. */
  readonly contacts: readonly (readonly [contact: number, body: number])[];
  readonly loads: readonly BodyLoad[];
}

/** What holds and pulls in each layer of a print. */
export interface Loads {
  readonly bodies: number;
  readonly steps: readonly LayerStep[];
  /** mm; the height of a step. */
  readonly layerHeight: number;
  /** True where the first layer is printed on the plate itself. */
  readonly onPlate: boolean;
}

/** The loads of a print and the contacts that are to hold it. */
export interface LoadLog extends Loads {
  readonly contacts: readonly Contact[];
  /** Starts that no strut gets to. */
  readonly unreached: readonly Unreached[];
  /** Supports placed by hand from which no way leads down, by their places in the builder's list. */
  readonly wayless: readonly number[];
}

/** A start without support. */
export interface Unreached extends Pick<Contact, 'at' | 'layer'> {
  /** The builder keeps the place free of tips. */
  readonly keptFree: boolean;
}

/** The loads of a print with the places of its contacts. */
export interface HeldLoads extends Loads {
  readonly contacts: readonly Pick<Contact, 'at' | 'leastMm'>[];
}
