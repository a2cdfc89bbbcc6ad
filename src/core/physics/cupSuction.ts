import { atmosphericCap } from './atmosphericCap.ts';
import { parallelVents } from './parallelVents.ts';
import type { CupDemand } from './requiredDiameter.ts';
import { squeezeForce } from './squeezeForce.ts';
import type { VentResistance } from './ventResistance.ts';

/** N, each capped at one atmosphere over the cup. */
export interface CupSuction {
  readonly total: number;
  /** If only the squeeze flow counted, and if only the openings did. */
  readonly squeeze: number;
  readonly openings: number;
}

/**
 * Suction of one cup while its layer leaves the film: the flow A·v comes through the vents side by side
 * and then across the depth of the cavity, so the two pressures add. Without vents it is sealed: one
 * atmosphere over its area, an upper bound.
 *
 * Sound as a first form where the depth varies little over the cup. Not sound where a deep limb stands
 * beside a wide shallow floor (the mean depth hides the floor: too low), or where one vent far from most
 * of the floor feeds it (`squeezeForce.ts`: up to several times too low while the cavity is shallow).
 */
export function cupSuction(cup: CupDemand, vents: readonly VentResistance[], viscosity: number): CupSuction {
  const cap = atmosphericCap(cup.area);
  const squeeze = squeezeForce(cup.floorArea, viscosity, cup.speed, cup.depth);
  const openings = parallelVents(vents, cup.area * cup.speed) * cup.area;
  return {
    total: Math.min(squeeze + openings, cap),
    squeeze: Math.min(squeeze, cap),
    openings: Math.min(openings, cap),
  };
}
