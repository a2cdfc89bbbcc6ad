import type { Coat, Fill } from '../core/filling/filling.ts';
import type { Film, Limits, Machine, Resin } from '../core/kit/manifest.ts';
import type { OpeningDecision } from '../core/openings/opening.ts';
import type { ShowOutline } from '../core/showSide/showOutline.ts';
import type { Vec3 } from '../core/vector.ts';
import type { PartRequest } from './partRequest.ts';

/**
 * What the figures depend on beside the measured layers: exactly this is given to the stage and
 * makes its key, so that nothing else can change a figure and nothing else starts it anew.
 */
export interface LateDecisions {
  readonly openings: readonly OpeningDecision[];
  readonly show: readonly ShowOutline[];
  readonly wallMm: number | null;
  readonly machine: Pick<Machine, 'lift' | 'exposure' | 'vat' | 'resinDepth' | 'leastResinDepth'>;
  readonly film: Film;
  /** How the part is held for the wash; null = the best is searched. */
  readonly wash: Vec3 | null;
  readonly fill: Fill | null;
  readonly coat: Coat | null;
  readonly resin: Pick<
    Resin,
    'density' | 'liquidDensity' | 'viscosity' | 'surfaceTension' | 'greenStrength' | 'greenModulus'
  >;
  readonly limits: Pick<
    Limits,
    | 'suction'
    | 'breatheLayers'
    | 'wallFlex'
    | 'leastCup'
    | 'selfSupport'
    | 'lamp'
    | 'lampReach'
    | 'rinseWay'
    | 'rinseReach'
  >;
}

export function lateDecisions({
  openings,
  show,
  wall,
  machine,
  film,
  wash,
  fill,
  coat,
  resin,
  limits,
}: PartRequest): LateDecisions {
  const { lift, exposure, vat, resinDepth, leastResinDepth } = machine;
  const { density, liquidDensity, viscosity, surfaceTension, greenStrength, greenModulus } = resin;
  const { suction, breatheLayers, wallFlex, leastCup, selfSupport, lamp, lampReach, rinseWay, rinseReach } =
    limits;
  return {
    openings,
    show,
    wallMm: wall,
    machine: { lift, exposure, vat, resinDepth, leastResinDepth },
    film: { peel: film.peel },
    wash,
    fill,
    coat,
    resin: { density, liquidDensity, viscosity, surfaceTension, greenStrength, greenModulus },
    limits: {
      suction,
      breatheLayers,
      wallFlex,
      leastCup,
      selfSupport,
      lamp,
      lampReach,
      rinseWay,
      rinseReach,
    },
  };
}
