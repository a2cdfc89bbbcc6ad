import type { Vec3 } from '../vector.ts';
import type { PartGrowth } from './partGrowth.ts';
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

/** The contacts that are to hold a print. */
export interface ChosenContacts {
  readonly contacts: readonly Contact[];
  /** By contact: the body that it holds, and the layer from which it does, in ascending order. */
  readonly body: Uint32Array;
  readonly from: Uint32Array;
  /** Starts that no strut gets to. */
  readonly unreached: readonly Unreached[];
  /** What has to be held and is not, because the foot of its strut would leave the plate. */
  readonly offPlate: readonly OffPlate[];
  /** Supports placed by hand from which no way leads down, by their places in the builder's list. */
  readonly wayless: readonly number[];
}

/** A place whose strut would stand beyond the plate, less its margin. */
export interface OffPlate extends Pick<Contact, 'at' | 'layer' | 'byHand'> {
  /** Where its foot would be. */
  readonly foot: Vec3;
}

/** A start without support. */
export interface Unreached extends Pick<Contact, 'at' | 'layer'> {
  /** The builder keeps the place free of tips. */
  readonly keptFree: boolean;
}

/** The loads of a print with the places of its contacts. */
export interface HeldLoads extends Pick<ChosenContacts, 'body' | 'from'> {
  /** By contact: the body that its strut stands on; −1 on the plate. */
  readonly on: Int32Array;
  readonly growth: Pick<
    PartGrowth,
    'bodies' | 'layerHeight' | 'onPlate' | 'mergeOffsets' | 'merges' | 'loadOffsets' | 'loadBody' | 'loads'
  >;
  readonly contacts: readonly Pick<Contact, 'at' | 'leastMm'>[];
}
