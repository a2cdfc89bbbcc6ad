import { atmosphericCap } from './atmosphericCap.ts';
import { type LobeFlow, lobePull } from './lobeFlow.ts';
import { openRimForce } from './openRimForce.ts';
import { parallelVents } from './parallelVents.ts';
import type { CupDemand } from './requiredDiameter.ts';
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
  mouths: LobeFlow | null = null,
): CupSuction {
  let worst: CupSuction | null = null;
  stages.forEach((demand, stage) => {
    const suction = cupSuction(demand, vents, viscosity, lobes, mouths);
    if (worst === null || suction.total > worst.total) worst = { ...suction, stage };
  });
  if (worst === null) throw new Error('a lift has at least one stage');
  return worst;
}

/**
 * Suction of one cup while its layer leaves the film: the flow A·v comes through the vents and then across the
 * depth of the cavity, so the two pressures add. Without vents it is sealed: one atmosphere over its area, an
 * upper bound.
 *
 * The squeeze is that of resin coming from the mouths over the local depth (`localSqueeze.ts`), and no less than
 * with an open rim at the greatest depth of the limb. For a level floor that is Stefan's figure (917 N for
 * 100 cm² at 0.25 mm, 0.3 Pa·s and 1 mm/s), which no vents, however many, are trusted to better: to that extent
 * it is told too high where wide mouths stand all over a level floor. Where it is not known cell by cell (cups
 * of the sculpt, limbs too small to be worth it) it takes the mean depth and an open rim: sound where the depth
 * varies little and no mouth is far.
 *
 * The vents are side by side, or each with what its own mouth feeds of the film (`mouthFlow.ts`). Of a limb of
 * several lobes each pulls with its own pressure, what the necks take included.
 */
export function cupSuction(
  cup: CupDemand,
  vents: readonly VentResistance[],
  viscosity: number,
  lobes: LobeFlow | null = null,
  mouths: LobeFlow | null = null,
): Omit<CupSuction, 'stage'> {
  const cap = atmosphericCap(cup.area);
  const squeeze = Math.max(openRimForce(cup, viscosity), (cup.local?.perSpeed ?? 0) * viscosity * cup.speed);
  const asOneVoid = parallelVents(vents, cup.area * cup.speed) * cup.area;
  const necks =
    lobes === null || vents.length === 0 ? 0 : Math.max(0, lobePull(lobes, cup.speed) - asOneVoid);
  const openings = (mouths === null ? asOneVoid : Math.max(asOneVoid, lobePull(mouths, cup.speed))) + necks;
  return {
    total: Math.min(squeeze + openings, cap),
    squeeze: Math.min(squeeze, cap),
    openings: Math.min(openings, cap),
    necks: Math.min(necks, cap),
  };
}
