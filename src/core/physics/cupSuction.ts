import { atmosphericCap } from './atmosphericCap.ts';
import { type LobeFlow, lobePull } from './lobeFlow.ts';
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
  /** Part of `openings` that the necks between the limb's lobes take. */
  readonly necks: number;
  /** Stage of the lift in which it pulls most, from 0. */
  readonly stage: number;
}

/** The suction in the stage of the lift in which it is greatest; the earlier one where they are equal. */
export function worstSuction(
  stages: readonly CupDemand[],
  vents: readonly VentResistance[],
  viscosity: number,
  lobes: LobeFlow | null = null,
): CupSuction {
  let worst: CupSuction | null = null;
  stages.forEach((demand, stage) => {
    const suction = cupSuction(demand, vents, viscosity, lobes);
    if (worst === null || suction.total > worst.total) worst = { ...suction, stage };
  });
  if (worst === null) throw new Error('a lift has at least one stage');
  return worst;
}

/**
 * Suction of one cup while its layer leaves the film: the flow A·v comes through the vents side by side
 * and then across the depth of the cavity, so the two pressures add. Without vents it is sealed: one
 * atmosphere over its area, an upper bound.
 *
 * Of a limb of several lobes each pulls with its own pressure, what the necks take included.
 *
 * Where the squeeze is not known cell by cell (cups of the sculpt, limbs too small to be worth it) it takes
 * the mean depth and an open rim: sound where the depth varies little.
 */
export function cupSuction(
  cup: CupDemand,
  vents: readonly VentResistance[],
  viscosity: number,
  lobes: LobeFlow | null = null,
): Omit<CupSuction, 'stage'> {
  const cap = atmosphericCap(cup.area);
  const squeeze =
    cup.squeezePerSpeed === undefined
      ? squeezeForce(cup.floorArea, viscosity, cup.speed, cup.depth)
      : cup.squeezePerSpeed * viscosity * cup.speed;
  const asOneVoid = parallelVents(vents, cup.area * cup.speed) * cup.area;
  const openings = lobes === null || vents.length === 0 ? asOneVoid : lobePull(lobes, cup.speed);
  return {
    total: Math.min(squeeze + openings, cap),
    squeeze: Math.min(squeeze, cap),
    openings: Math.min(openings, cap),
    necks: Math.max(0, Math.min(openings, cap) - Math.min(asOneVoid, cap)),
  };
}
