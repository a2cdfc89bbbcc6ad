import type { Vec3 } from '../vector.ts';

/**
 * The chambers of a part as lobes joined by necks, for what flows in them. Frame: that of the cells, source
 * axes at finished size, mm.
 */
export interface ChamberNetwork {
  readonly lobes: readonly Lobe[];
  readonly necks: readonly Neck[];
  /** Lobe of every cell, in the order of the cells. */
  readonly lobeOf: Uint16Array;
}

/** A part of a chamber that is wide within itself: see `findLobes` for what divides two. */
export interface Lobe {
  readonly chamber: number;
  readonly volumeMm3: number;
  /** The point farthest from the wall, and how far that is: the largest ball that fits. */
  readonly deepest: Vec3;
  readonly radiusMm: number;
}

/** Where two lobes of a chamber meet. Two lobes may meet in several places, each a neck. */
export interface Neck {
  /** The lobes it joins, a < b. */
  readonly a: number;
  readonly b: number;
  /** The widest point of its section, and the way from a to b through it, a unit vector. */
  readonly at: Vec3;
  readonly direction: Vec3;
  /** Of its section; the largest ball that passes; hydraulic diameter; how far it stays about as narrow. */
  readonly areaMm2: number;
  readonly radiusMm: number;
  readonly hydraulicMm: number;
  readonly lengthMm: number;
  /** Where it has widened, in a and in b. */
  readonly ends: readonly [Vec3, Vec3];
}
