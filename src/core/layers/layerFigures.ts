import type { Vec3 } from '../vector.ts';

/** Figures of every layer of a part, wall and cavity applied, openings left uncut. Arrays run over all layers from the plate. */
export interface LayerFigures {
  readonly layers: number;
  readonly layerHeight: number;
  /** mm² of solid. */
  readonly area: Float64Array;
  /** mm² of solid with no solid within the self-supporting reach in the layer below. */
  readonly overhang: Float64Array;
  readonly islands: readonly Island[];
  /** Features narrower than the resolution that were left out, by the rule in `islands.ts`. */
  readonly specksLeftOut: number;
  readonly ceilings: readonly Ceiling[];
}

/** A solid region that starts on nothing, at the layer where it starts. Print frame, mm. */
export interface Island {
  readonly layer: number;
  readonly areaMm2: number;
  readonly at: Vec3;
  /** True when it starts in a chamber or another enclosed void that no support can reach from the plate. */
  readonly inside: boolean;
}

/** A wide region of one layer that closes over void: held only at its rim while it is printed. */
export interface Ceiling {
  readonly layer: number;
  readonly areaMm2: number;
  /** Diameter in mm of the largest disc that fits the region, an upper bound of the free span. */
  readonly spanMm: number;
  readonly at: Vec3;
  readonly inside: boolean;
}
