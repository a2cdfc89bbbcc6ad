import type { Vec3 } from '../vector.ts';

/** A passage leads from a half's hollow through the seam of its cut into the other half's. */
export type OpeningKind = 'vent' | 'drain' | 'tube' | 'passage';

/** `vents/0`, `drains/1`, `tubes/0`: list name in the manifest and index in it; `passages/0/base-seam` with the cut's name. */
export type OpeningId = string;

/** An opening as the builder decided it: point and direction in source coordinates, sizes in print mm. */
export interface OpeningDecision {
  readonly id: OpeningId;
  readonly kind: OpeningKind;
  readonly at: Vec3;
  readonly diameter: number;
  /** Drilled depth from the mouth; absent = the way through the wall + 2.5 mm. */
  readonly depth?: number;
  /** Direction into the part, source axes; absent = the reversed mean normal over the mouth. */
  readonly toward?: Vec3;
}

/** An opening on the posed part: a round cylinder. Print frame, mm. */
export interface PlacedOpening {
  readonly id: OpeningId;
  readonly kind: OpeningKind;
  /** Centre of the mouth, on the surface. */
  readonly mouth: Vec3;
  /** Unit vector into the part. */
  readonly axis: Vec3;
  readonly radius: number;
  /** From the mouth along the axis. */
  readonly depth: number;
  /** How far the cutter reaches out of the mouth: only enough to clear the mouth's sagitta. */
  readonly outward: number;
}

/** What was found when an opening was placed and measured on the part. */
export interface OpeningFacts {
  readonly decision: OpeningDecision;
  /** Null when the point lies further from the surface than `snapMm`. */
  readonly placed: PlacedOpening | null;
  /** The asked point. */
  readonly asked: Vec3;
  /** Print mm from the asked point to the surface. */
  readonly surfaceDistanceMm: number;
  /** Of an opening off the surface: the point of the surface nearest to the one asked. */
  readonly nearest?: Vec3;
  /** Unit mean normal of the surface over the mouth, outward; null when the opening is not placed. */
  readonly facing: Vec3 | null;
  /** How far the mouth reaches into the show side, mm; null where it does not. */
  readonly showReachMm: number | null;
  /** The chamber the cutter opens; null when it opens none. */
  readonly chamber: number | null;
  /** Depth along the axis (or the rim, where only that reaches it) at which that chamber (or the nearest one ahead) starts; null when none lies ahead. */
  readonly chamberDepthMm: number | null;
  /** Depth along the axis at which the chamber ends again (its far wall); null without chamber. */
  readonly farWallDepthMm: number | null;
  /** Depth along the axis at which the part is left at the far side; null when never. */
  readonly farSideDepthMm: number | null;
  /** Smallest distance from the axis, inside the chamber, to a cavity surface, the cut rim left out; null without chamber. */
  readonly sideClearanceMm: number | null;
}
