import type { LightBore } from '../lights/light.ts';
import type { Vec3 } from '../vector.ts';

/** The two halves that a cut makes. The front one lies where the cut's `toward` points. */
export type CutSide = 'back' | 'front';

/** How a part is cut in two; plain data. Points and directions in source axes, sizes in print mm. */
export interface CutDecision {
  /** A point of the plane, source coordinates. */
  readonly at: Vec3;
  /** Its normal, any length; the front half lies there. */
  readonly toward: Vec3;
  readonly keys: AskedKeys;
  readonly key: KeySize;
  /** Gap round a plug, at its side and at its end. */
  readonly clearance: number;
  /** Holes through the seam, of the same place and width in both halves; keys keep clear of them. */
  readonly passages: readonly AskedPassage[];
  /** Tubes through either half, the same for both; keys keep clear of them. */
  readonly lights: readonly LightBore[];
}

/** So many keys where there is most room for them, or keys at these places. */
export type AskedKeys = { readonly count: number } | { readonly places: readonly AskedPlace[] };

export interface AskedPlace {
  /** In the manifest's list. */
  readonly index: number;
  /** Source coordinates; taken square to the plane. */
  readonly at: Vec3;
  readonly diameter: number;
}

export interface AskedPassage extends AskedPlace {
  /** Drilled into either half; absent = the way through the wall + 2.5 mm. */
  readonly depth?: number;
}

/** A plug that stands on the back half; the front half has the socket for it. */
export interface KeySize {
  /** Where it stands. */
  readonly diameter: number;
  readonly length: number;
  /** Degrees by which its side leans inward. */
  readonly taper: number;
  /** Solid that must stand between a socket and the outside. */
  readonly wall: number;
}

/** One cut and the half of it that a part is. */
export interface PartCut {
  readonly cut: CutDecision;
  readonly side: CutSide;
}
