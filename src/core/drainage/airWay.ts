import { capillaryRetention } from '../physics/capillaryRetention.ts';
import { constants } from '../physics/constants.ts';
import { holeStability } from '../physics/holeStability.ts';
import type { Vec3 } from '../vector.ts';
import type { ChamberMouth } from './chamberMouth.ts';
import { type MouthLevels, mouthLevels } from './mouthLevels.ts';
import type { WettingLiquid } from './wettingLiquid.ts';

/**
 * How air gets into a chamber while liquid leaves it: by another mouth that lies higher; by the drain
 * itself, because it is so wide that liquid cannot hang in it, or because it is tilted; or not
 * dependably (`none`): the liquid may hang in the chamber for good.
 */
export type AirWay = 'other' | 'wide' | 'tilted' | 'none';

/**
 * Another mouth serves when the column between the two overcomes what surface tension holds in both:
 * ρ·g·Δz ≥ 4·γ/d + 4·γ/d′ (Young–Laplace, full wetting). One hole serves when it is wider than the
 * greatest width over which liquid can hang (`holeStability`, pinned rim), or when the weight along its
 * tilted width pushes a bubble of its own width in: ρ·g·d·sin(tilt) ≥ 4·γ/d. The last is derived here,
 * no source; a builder sees it in every bottle that is emptied tilted.
 */
export function airWay(
  drain: ChamberMouth,
  mouths: readonly ChamberMouth[],
  up: Vec3,
  liquid: WettingLiquid,
): AirWay {
  const levels = mouthLevels(drain, up);
  const held = heldHead(drain.radius, liquid);
  const others = mouths.filter((mouth) => mouth !== drain);
  const isAir = (mouth: ChamberMouth): boolean =>
    mouthLevels(mouth, up).top - levels.exit >= held + heldHead(mouth.radius, liquid);
  if (others.some(isAir)) return 'other';
  const { pinnedRim } = holeStability(liquid.surfaceTension, liquid.density);
  if (2 * drain.radius >= pinnedRim * 1000) return 'wide';
  return levels.rise >= held ? 'tilted' : 'none';
}

/** mm from which a hole that faces sideways lets air in beside the liquid: d² = 4·γ/(ρ·g), see `airWay`. */
export function airingDiameter({ surfaceTension, density }: WettingLiquid): number {
  return 2000 * Math.sqrt(surfaceTension / (density * constants.gravity.value));
}

/** mm of liquid that a round mouth holds back by surface tension. */
export function heldHead(radiusMm: number, { surfaceTension, density }: WettingLiquid): number {
  return 1000 * capillaryRetention(0.002 * radiusMm, surfaceTension, density).head;
}

/** Height along the up direction, mm, at which the flow through a mouth ends, surface tension counted. */
export function restLevel(levels: MouthLevels, { radius }: ChamberMouth, liquid: WettingLiquid): number {
  return Math.max(levels.sill, levels.exit + heldHead(radius, liquid));
}
