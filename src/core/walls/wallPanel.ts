import type { Vec3 } from '../vector.ts';

/**
 * A piece of a chamber's wall as it is taken for its strength, mm, by the cavity's own surface.
 * `flat`: a panel held at its rim. `shell`: curved outward both ways. `tube`: curved outward one way.
 */
export interface WallPanel {
  readonly chamber: number;
  readonly shape: 'flat' | 'shell' | 'tube';
  /** Of a flat panel and a shell: diameter of the largest circle in it. Of a tube: its straight length. */
  readonly spanMm: number;
  /** Of a flat panel: its area by its span, so the length of a like rectangle. */
  readonly lengthMm: number;
  /** Radius of the cavity's surface there; of a shell the larger one; null when flat. */
  readonly radiusMm: number | null;
  /** Middle of the circle, on the cavity's surface. */
  readonly at: Vec3;
  /** Unit, from the hollow into the wall. */
  readonly outward: Vec3;
  /** Points that reach furthest in 26 directions: what its height in any pose is taken from. */
  readonly extremes: readonly Vec3[];
}
