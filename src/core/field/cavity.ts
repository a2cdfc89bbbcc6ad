import type { Mesh } from '../mesh/mesh.ts';
import type { Vec3 } from '../vector.ts';
import type { ThinSpot } from './contourField.ts';

/** One connected hollow. Scaled-source frame, mm. */
export interface Chamber {
  readonly volumeMm3: number;
  readonly centroid: Vec3;
}

/** A ball of solid between the part's surface and the hollows, mm. */
export interface Lump {
  readonly thicknessMm: number;
  readonly at: Vec3;
  /** What would have been hollow there. */
  readonly volumeMm3: number;
}

/**
 * The hollow of a part: everything deeper than the wall and outside the regions kept solid. In the frame of the mesh it was made from.
 * `mesh` is closed and oriented as a solid of its own (outward); appended to the part it is reversed.
 */
export interface Cavity {
  readonly mesh: Mesh;
  /** Chamber number per facet of `mesh`. */
  readonly facetChamber: Uint32Array;
  readonly chambers: readonly Chamber[];
  /** Hollows under the least size, left solid. */
  readonly leftSolid: readonly Chamber[];
  /** The thickest balls of solid in what was left solid for being small, thickest first; each is thicker than two walls. */
  readonly lumps: readonly Lump[];
  /** Greatest depth found anywhere in the part, mm: what the wall would have to be under; null where there is a chamber. */
  readonly deepestMm: number | null;
  /** Thinnest wall measured from the cavity's surface to the outer surface; null when there is no chamber. */
  readonly thinnest: ThinSpot | null;
  /** About how much each kept region has kept from being hollow, mm³, in the order asked; shared ground goes to the nearest. */
  readonly keptMm3: readonly number[];
  /** Spacing of the field, mm. */
  readonly spacingMm: number;
}
