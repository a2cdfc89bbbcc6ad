import { axisDirections } from '../core/axisDirections.ts';
import { airingDiameter } from '../core/drainage/airWay.ts';
import type { ChamberDrain } from '../core/drainage/chamberDrain.ts';
import type { ChamberMouth } from '../core/drainage/chamberMouth.ts';
import { downOfTurn } from '../core/drainage/downOfTurn.ts';
import {
  type AttitudeDrain,
  drainAttitude,
  floodChamber,
  type HeldPond,
} from '../core/drainage/drainAttitude.ts';
import { drainDiameter } from '../core/drainage/drainDiameter.ts';
import { freeingDiameter } from '../core/drainage/freeingDiameter.ts';
import { mouthNodes } from '../core/drainage/mouthNodes.ts';
import { searchAttitude } from '../core/drainage/searchAttitude.ts';
import type { WettingLiquid } from '../core/drainage/wettingLiquid.ts';
import type { Interrupter } from '../core/interrupter.ts';
import { turnDown } from '../core/turnDown.ts';
import { norm, scale, subtract, type Vec3 } from '../core/vector.ts';
import type { BlockedChamber } from './chamberSpace.ts';

/** All that the draining of a chamber depends on beside its blocks; frame of its cells. */
export interface DrainSetting {
  /** One at least. */
  readonly mouths: readonly ChamberMouth[];
  readonly liquid: WettingLiquid;
  /** What points down while the part is printed. */
  readonly hanging: Vec3;
  /** The builder's own attitude; null = the best is searched. */
  readonly wash: Vec3 | null;
}

/** How one chamber empties; frame of its cells. */
export function measureDrain(
  { fine, coarse }: BlockedChamber,
  { mouths, liquid, hanging, wash }: DrainSetting,
  interrupter: Interrupter,
): ChamberDrain {
  const of = (blocks: BlockedChamber['fine']) => ({
    blocks,
    mouths,
    nodes: mouths.map((mouth) => mouthNodes(blocks, mouth)),
  });
  const chamber = of(fine);
  // Holds that need few words: as it is printed, turned over from that, on any side of the sculpt.
  const simple = [scale(hanging, -1), hanging, ...axisDirections];
  const found = drainAttitude(chamber, searchAttitude(of(coarse), simple, liquid, interrupter), liquid);
  const asked = wash === null ? null : drainAttitude(chamber, downOfTurn(wash), liquid);
  const told = asked ?? found;
  return {
    ...told,
    turn: wash ?? turnDown(told.down),
    better:
      asked !== null && empties(found, asked) ? { turn: turnDown(found.down), leftMm3: found.leftMm3 } : null,
    hangingMm3: floodChamber(chamber, scale(hanging, -1), liquid).leftMm3,
    airingMm: told.air === 'none' ? airingDiameter(liquid) : null,
    freeingMm: told.pond && freeing(told.pond, mouths, liquid),
  };
}

/** Wide enough for surface tension and for a builder's patience, through as much wall as the first mouth has. */
function freeing(
  { volumeMm3, depthMm, lastTenthMm }: HeldPond,
  [first]: readonly ChamberMouth[],
  liquid: WettingLiquid,
): number {
  const wallMm = norm(subtract(first!.inner, first!.outer));
  return Math.max(freeingDiameter(lastTenthMm, liquid), drainDiameter(volumeMm3, depthMm, wallMm, liquid));
}

/** Better than another: air comes in where it did not, or less stays. */
function empties(found: AttitudeDrain, asked: AttitudeDrain): boolean {
  if (found.air === 'none') return false;
  return asked.air === 'none' || found.leftMm3 < asked.leftMm3;
}
