import type { Vec3 } from '../core/vector.ts';

/** Where the camera stands, round the point it looks at; print frame, mm and radians. */
export interface Orbit {
  readonly target: Vec3;
  readonly distance: number;
  /** Round the z axis; 0 looks from +x. */
  readonly azimuth: number;
  /** Above the horizon. */
  readonly elevation: number;
}

/** Where a part is cut, in terms that a part with other layers understands, too; print frame, mm. */
export type CutPlace =
  | { readonly by: 'none' }
  /** `heightMm` above the plate: the middle of a layer. */
  | { readonly by: 'layer'; readonly heightMm: number }
  | { readonly by: 'x' | 'y' | 'facing'; readonly normal: Vec3; readonly offset: number };

/** One change of how a part is looked at. */
export type Look =
  | { readonly kind: 'orbit'; readonly orbit: Orbit }
  | { readonly kind: 'cut'; readonly cut: CutPlace };

/** What a turntable is told that stands beside another one, and is looked at as that one is. */
export interface Beside {
  readonly title: string;
  /** What the other one has otherwise, in phrases. */
  readonly changes: readonly string[];
  /** The other one takes its first look from it. */
  readonly leads: boolean;
}
