import type { Affine } from '../core/affine.ts';
import type { Severity } from '../core/kit/finding.ts';
import type { FindingCode } from '../core/kit/findingTable.ts';
import type { OpeningId, PlacedOpening } from '../core/openings/opening.ts';
import type { ShowOutline } from '../core/showSide/showOutline.ts';
import type { Vec3 } from '../core/vector.ts';

/** What the picture of a part needs before anything has been measured. */
export interface PartScene {
  readonly part: string;
  readonly machine: {
    readonly plate: readonly [number, number];
    readonly height: number;
    readonly margin: number;
  };
  /**
   * From the frame of the surfaces (source axes at finished size, mm) to the print frame: a turn and a
   * shift, so that a part can be turned or raised without its surfaces being sent again.
   */
  readonly toPrint: Affine;
  /** Key of the outer surface; surfaces travel on their own, see `SurfacePiece`. */
  readonly outer: string;
  /** Key of the hollow's surface, outward-oriented; null when solid. */
  readonly cavity: string | null;
}

export function surfaceKeys({ outer, cavity }: PartScene): readonly string[] {
  return cavity === null ? [outer] : [outer, cavity];
}

/** Everything the turntable and the strata show of one part, but its surfaces. Print frame, mm. */
export interface PartView extends PartScene {
  readonly openings: readonly OpeningView[];
  readonly flags: readonly Flag[];
  /** Outlines of the show side, print frame. */
  readonly show: readonly ShowOutline[];
  /** Its planned supports as round bars, eight numbers each: two points, and the radius at either. Empty where none are planned. */
  readonly supports: Float32Array;
  /** The tubes of its lights as such bars, also where they run outside of it. */
  readonly lights: Float32Array;
  /** Where those touch the part. */
  readonly tips: readonly TipView[];
  readonly strata: Strata;
  /** Figures for people, ready to print: label and value with unit. */
  readonly figures: readonly { readonly label: string; readonly value: string }[];
}

export interface OpeningView extends PlacedOpening {
  /** Length of the bore that runs through solid, from the mouth. */
  readonly boreMm: number;
}

/** A support where it touches the part. */
export interface TipView {
  readonly at: Vec3;
  readonly widthMm: number;
  /** The greatest pull on it, N, and its layer. */
  readonly loadN: number;
  readonly loadLayer: number;
  readonly stands: 'plate' | 'part';
  /** Its place in the builder's own list; null where it was planned. */
  readonly byHand: number | null;
}

export interface Flag {
  /** The same number as the finding in Problems. */
  readonly number: number;
  readonly code: FindingCode;
  readonly severity: Severity;
  readonly message: string;
  readonly layer: number | null;
  readonly at: Vec3 | null;
  readonly opening: OpeningId | null;
}

/** Curves by layer from the plate. */
export interface Strata {
  readonly layerHeight: number;
  readonly layers: number;
  readonly areaMm2: Float32Array;
  readonly cupAreaMm2: Float32Array;
  readonly pullN: Float32Array;
  readonly pullLimitN: number;
  readonly islands: readonly { readonly layer: number; readonly areaMm2: number; readonly inside: boolean }[];
  readonly cups: readonly {
    readonly fromLayer: number;
    readonly toLayer: number;
    readonly joinsLayer: number | null;
    readonly breathesLayer: number | null;
    readonly sealedLayers: number;
    readonly peakPullN: number;
    readonly breather: OpeningId | 'mesh' | null;
  }[];
  readonly vatLowLayer: number | null;
}
