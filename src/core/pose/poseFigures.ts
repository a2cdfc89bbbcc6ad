import type { Vec3 } from '../vector.ts';
import type { PlateFit } from './plateFit.ts';

/** What a pose makes of a part, measured coarsely: enough to compare poses, not to check one. */
export interface PoseFigures {
  /** Whole degrees about plate x, then y, then z. */
  readonly turn: Vec3;
  readonly fit: PlateFit;
  /** From the plate to the part's lowest point, with room for raft and tips where it needs them; and to its highest. */
  readonly raiseMm: number;
  readonly heightMm: number;
  /** Regions that start in mid-air, in hollows too. */
  readonly islands: number;
  /** Surface that faces the plate and does not carry itself, in hollows too; what of it is show side. */
  readonly overhangMm2: number;
  readonly shownOverhangMm2: number;
  /** Pull of the solid area of the worst layer, and its greatest rise from one millimetre to the next. */
  readonly peakPullN: number;
  readonly jumpN: number;
  /** Voids that are closed towards the plate where they start, and so want a vent each. */
  readonly cups: number;
  /** The largest floor of a hollow that begins within one millimetre: resin is squeezed out over it. */
  readonly floorMm2: number;
  /** How far vents lie above the plate end of their hollows, and drains below the film end, on average. */
  readonly openingsMm: number;
}

/** The concerns that poses are weighed by, as the manifest names them under `pose`. */
export const poseConcerns = [
  'show',
  'overhang',
  'islands',
  'pull',
  'jumps',
  'cups',
  'floors',
  'openings',
  'height',
] as const;
export type PoseConcern = (typeof poseConcerns)[number];

/** The builder's weights: 0 leaves a concern out. */
export type PoseWeights = Readonly<Record<PoseConcern, number>>;

export function concernOf(figures: PoseFigures, concern: PoseConcern): number {
  switch (concern) {
    case 'show':
      return figures.shownOverhangMm2;
    case 'overhang':
      return figures.overhangMm2;
    case 'islands':
      return figures.islands;
    case 'pull':
      return figures.peakPullN;
    case 'jumps':
      return figures.jumpN;
    case 'cups':
      return figures.cups;
    case 'floors':
      return figures.floorMm2;
    case 'openings':
      return figures.openingsMm;
    case 'height':
      return figures.heightMm;
  }
}
