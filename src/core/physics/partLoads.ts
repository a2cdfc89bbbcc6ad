import type { OpeningId } from '../openings/opening.ts';
import type { WallLoad } from './wallLoads.ts';

/** One connected void that was a cup at some layer, with what its suction does. Lengths mm, force N. */
export interface CupLoad {
  readonly fromLayer: number;
  readonly toLayer: number;
  /** Layers at which any limb of it had area and did not join the outside. */
  readonly sealedLayers: number;
  /** The limbs that are ever sealed, the one that stays so longest first. */
  readonly sealedLimbs: readonly SealedLimb[];
  /** First layer at which it joins the outside (where the sculpt opens it: the one after its last), and at which its suction is and stays under the limit. */
  readonly joinsLayer: number | null;
  readonly breathesLayer: number | null;
  readonly peakAreaMm2: number;
  readonly peakAreaLayer: number;
  /** Suction alone. */
  readonly peakPullN: number;
  readonly peakPullLayer: number;
  /** Opening through which the suction first stays under its limit; `mesh` = a sculpted hole. */
  readonly breather: OpeningId | 'mesh' | null;
  /** Resin the cup lifts like an inverted glass, at its worst layer. */
  readonly heldMm3: number;
  readonly chamber: number | null;
  /** Centroid of the cup at its first layer, print frame, mm. */
  readonly at: readonly [number, number, number];
  /** At the peak: suction if only the squeeze flow counted. */
  readonly squeezePullN: number;
  /**
   * What takes the largest share of the pressure at the peak in the limb that pulls most: the squeeze between
   * floor and film, necks of the hollow, or the opening that carries most of the flow; null when nothing pulls.
   */
  readonly limitedBy: OpeningId | 'mesh' | 'neck' | 'sealed' | 'squeeze' | null;
  /** Stage of the lift, 1 or 2, in which that limb pulls most. */
  readonly liftStage: number;
  /** Diameter of one round vent that would do for every limb over its limit (`LimbStretch.ventMm`); null when none is, or no vent would. */
  readonly neededVentMm: number | null;
  /** The longest stretch over its suction limit of every limb that has one. */
  readonly stretches: readonly LimbStretch[];
}

/** A limb of a cup that does not join the outside at first. Print frame, mm. */
export interface SealedLimb {
  readonly start: { readonly layer: number; readonly at: readonly [number, number, number] };
  /** In which it has area and does not join the outside. */
  readonly layers: number;
  readonly peakAreaMm2: number;
  /** One atmosphere over that area: an upper bound. */
  readonly peakPullN: number;
}

/** A run of layers in which one limb of a cup pulls with more than the suction limit. */
export interface LimbStretch {
  /** Where the limb starts: layer, and centroid there in the print frame, mm. */
  readonly start: { readonly layer: number; readonly at: readonly [number, number, number] };
  /** First layer above the limit, and how many layers from there until it stays under. */
  readonly passesLayer: number;
  readonly layers: number;
  readonly peakPullN: number;
  readonly peakPullLayer: number;
  /** Stage of the lift, 1 or 2, of the peak. */
  readonly liftStage: number;
  /** At the peak: suction if only the squeeze flow counted, and if only the openings did. */
  readonly squeezePullN: number;
  readonly openingsPullN: number;
  /** Part of `openingsPullN` that necks of the hollow take, on the way to the openings. */
  readonly necksPullN: number;
  /**
   * First layer from which the squeeze flow alone stays under the limit (past the stretch when it
   * never does): no vent, however large, lets the limb breathe earlier, only another pose or floor does.
   */
  readonly squeezeFreeLayer: number;
  /**
   * Diameter of one round vent, wholly printed and below the vat's surface, that holds the suction
   * under the limit from `squeezeFreeLayer` on; null where that is past the stretch.
   */
  readonly ventMm: number | null;
  /** What it breathes through after the stretch, or most in its last layer; null when sealed there. */
  readonly breather: OpeningId | 'mesh' | null;
}

export interface PartLoads {
  readonly cups: readonly CupLoad[];
  /** Per layer from the plate. mm² of solid with openings cut, mm² of cups with openings uncut, N. */
  readonly areaMm2: Float64Array;
  readonly cupAreaMm2: Float64Array;
  readonly pullN: Float64Array;
  readonly peakPullN: number;
  readonly peakPullLayer: number;
  /** Liquid left per chamber, mm³, in the print attitude. */
  readonly trappedMm3: readonly number[];
  /** Ids of the openings of each chamber. */
  readonly chamberOpenings: readonly (readonly OpeningId[])[];
  readonly curedMm3: number;
  readonly liquidMm3: number;
  readonly heldMm3: number;
  readonly massG: number;
  readonly hours: number;
  /** mm³ that are out of the vat when a layer is done: liquid that has cured, and held above the surface. */
  readonly takenMm3: Float64Array;
  /** First layer at which the vat, filled once, is under its least safe level; null when never. */
  readonly vatLowLayer: number | null;
  /** The most strained first. */
  readonly walls: readonly WallLoad[];
}
