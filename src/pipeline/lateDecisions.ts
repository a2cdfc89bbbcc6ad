import type { Coat, Fill } from '../core/filling/filling.ts';
import type { Film, Limits, Machine, Resin } from '../core/kit/manifest.ts';
import type { LightBore } from '../core/lights/light.ts';
import type { OpeningDecision } from '../core/openings/opening.ts';
import type { ShowOutline } from '../core/showSide/showOutline.ts';
import type { SupportDecision } from '../core/supports/supportDecision.ts';
import type { Vec3 } from '../core/vector.ts';
import type { PartRequest } from './partRequest.ts';

/** What supports are planned by, beside what all figures depend on. */
export interface AskedSupports {
  readonly decision: SupportDecision;
  /** Where their feet may stand: x and y of the plate, its margin taken off, mm. */
  readonly room: readonly [number, number];
  /** A region that starts in air below this gets none, mm². */
  readonly leastMm2: number;
}

/**
 * What the figures depend on beside the measured layers: exactly this is given to the stage and
 * makes its key, so that nothing else can change a figure and nothing else starts it anew.
 */
export interface LateDecisions {
  readonly openings: readonly OpeningDecision[];
  readonly lights: readonly LightBore[];
  readonly show: readonly ShowOutline[];
  readonly wallMm: number | null;
  readonly machine: Pick<Machine, 'lift' | 'exposure' | 'vat' | 'resinDepth' | 'leastResinDepth'>;
  readonly film: Film;
  readonly supports: AskedSupports | null;
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
  lights,
  show,
  wall,
  machine,
  film,
  supports,
  wash,
  fill,
  coat,
  resin,
  limits,
}: PartRequest): LateDecisions {
  const { lift, exposure, vat, resinDepth, leastResinDepth, plate, margin } = machine;
  const { density, liquidDensity, viscosity, surfaceTension, greenStrength, greenModulus } = resin;
  const { suction, breatheLayers, wallFlex, leastCup, selfSupport, lamp, lampReach, rinseWay, rinseReach } =
    limits;
  return {
    openings,
    lights,
    show,
    wallMm: wall,
    machine: { lift, exposure, vat, resinDepth, leastResinDepth },
    film: { peel: film.peel },
    supports: supports && {
      decision: supports,
      room: [plate[0] - 2 * margin, plate[1] - 2 * margin],
      leastMm2: limits.island,
    },
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
