import type { Vec3 } from '../vector.ts';

/** What a cut found and made; lengths in print mm. The frame of the points is told by their owner. */
export interface Seam {
  /** True when the whole part lies on one side, so that nothing was cut. */
  readonly misses: boolean;
  /** Of the section, print mm². */
  readonly areaMm2: number;
  readonly keys: readonly SeamKey[];
  readonly refused: readonly RefusedKey[];
}

export interface SeamKey {
  /** Middle of the plug where it stands on the back half. */
  readonly at: Vec3;
  readonly diameterMm: number;
  /** How far the plug reaches into the front half. */
  readonly lengthMm: number;
}

/** A key that was left out on both halves. */
export interface RefusedKey {
  /** In the manifest's list of places; null for those that were to be placed. */
  readonly index: number | null;
  /** How many, of those that were to be placed. */
  readonly count: number;
  readonly reason: 'outside' | 'thin' | 'crowded';
  /** Null for those that were to be placed. */
  readonly at: Vec3 | null;
  /** The diameter asked, and one that would fit; null where not even the smallest does. */
  readonly diameterMm: number;
  readonly fitsMm: number | null;
}
