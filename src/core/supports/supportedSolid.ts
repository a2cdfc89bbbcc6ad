import type { RunsByLayer } from '../rays/runsByLayer.ts';

/** What supports of a part are planned from, its openings cut. Print frame, mm. */
export interface SupportedSolid {
  readonly solid: RunsByLayer;
  /** Bounds of the void round it. */
  readonly xLow: number;
  readonly xHigh: number;
}
