import type { Severity } from '../core/kit/finding.ts';
import type { FindingCode } from '../core/kit/findingTable.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { OpeningId, PlacedOpening } from '../core/openings/opening.ts';
import type { Vec3 } from '../core/vector.ts';

/** Everything the turntable and the strata show of one part. Print frame, mm. */
export interface PartView {
  readonly part: string;
  readonly machine: {
    readonly plate: readonly [number, number];
    readonly height: number;
    readonly margin: number;
  };
  readonly outer: ViewMesh;
  /** Outward-oriented surface of the hollow; null when solid. */
  readonly cavity: ViewMesh | null;
  readonly openings: readonly OpeningView[];
  readonly flags: readonly Flag[];
  readonly strata: Strata;
  /** Figures for people, ready to print: label and value with unit. */
  readonly figures: readonly { readonly label: string; readonly value: string }[];
}

export interface ViewMesh extends Mesh {
  /** Of the mesh the engine works on; more than drawn when the drawn one is simplified. */
  readonly fullTriangles: number;
}

export interface OpeningView extends PlacedOpening {
  /** Length of the bore that runs through solid, from the mouth. */
  readonly boreMm: number;
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
