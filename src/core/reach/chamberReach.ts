import type { Vec3 } from '../vector.ts';

/** How far a chamber can be reached through its openings, for rinsing, drying and curing. mm and mm³, frame of its cells. */
export interface ChamberReach {
  /** Diameter of its narrowest opening. */
  readonly smallestOpeningMm: number;
  /** Length of the way from the nearest opening to the place that is furthest from all of them. */
  readonly farthestMm: number;
  readonly farthestAt: Vec3;
  /** Out of sight of every opening, or beyond the lamp's reach. */
  readonly unlitMm3: number;
  readonly unlitAt: Vec3 | null;
  /** Reached only through a way narrower, or longer, than a rinse gets through. */
  readonly unrinsedMm3: number;
  readonly unrinsedAt: Vec3 | null;
}

/** What a lamp and a jet can do, mm. */
export interface ReachLimits {
  /** Diameter of the lamp: through a wider opening it goes in, through a narrower one it shines in from outside. */
  readonly lamp: number;
  readonly lampReach: number;
  /** Diameter of the narrowest way through which a rinse still flows well, and how far it does. */
  readonly rinseWay: number;
  readonly rinseReach: number;
}
