import type { Vec3 } from '../vector.ts';

/** How wide the gap is over an area, mm: shares of that area lie under each figure. Negative where solids overlap. */
export interface GapSpread {
  readonly areaMm2: number;
  readonly least: number;
  readonly q5: number;
  readonly q25: number;
  readonly median: number;
  readonly q75: number;
  readonly q95: number;
  readonly most: number;
}

/** Where two parts meet, as the sculptor put them together. Source axes at finished size, mm. */
export interface Joint {
  /** Over all faces that look at each other within reach; half of the area of both parts. */
  readonly gap: GapSpread;
  /** Over the faces that slide past each other as the parts are put together; null where none do. */
  readonly slide: GapSpread | null;
  /** The part that goes into the other; null where neither encloses the other. */
  readonly plug: 'first' | 'second' | null;
  /** The way in which the first part is taken off the second, of length one. */
  readonly off: Vec3;
  /** Share of the area that stands in that way: 0 where the parts come apart straight. */
  readonly caught: number;
  /** Connected regions of it, the largest first. */
  readonly regions: readonly JointRegion[];
  /** Solid that both parts take; null where they take none. */
  readonly overlap: JointOverlap | null;
  /** Where sliding faces are nearest; the middle of the faces where none slide. */
  readonly nearest: Vec3;
  /** Of the faces that slide, of all where none do: so many that a change of their gaps can be reckoned (`packFaces`). */
  readonly faces: Float32Array;
}

export interface JointRegion {
  readonly areaMm2: number;
  readonly at: Vec3;
}

export interface JointOverlap {
  /** About: of a thin sheet by its faces, else by rows half a millimetre apart. */
  readonly volumeMm3: number;
  readonly depthMm: number;
  /** Where it is deepest. */
  readonly at: Vec3;
}
