import { applyAffine, invertSimilarity } from '../core/affine.ts';
import type { ChamberDrain } from '../core/drainage/chamberDrain.ts';
import type { ChamberMouth } from '../core/drainage/chamberMouth.ts';
import { drainAttitude, floodChamber } from '../core/drainage/drainAttitude.ts';
import { mouthNodes } from '../core/drainage/mouthNodes.ts';
import { searchAttitude } from '../core/drainage/searchAttitude.ts';
import { washTurn } from '../core/drainage/washTurn.ts';
import type { WettingLiquid } from '../core/drainage/wettingLiquid.ts';
import type { Interrupter } from '../core/interrupter.ts';
import type { OpeningFacts } from '../core/openings/opening.ts';
import { constants } from '../core/physics/constants.ts';
import { normalized, scale, subtract, type Vec3 } from '../core/vector.ts';
import { chamberMouths } from './chamberMouths.ts';
import type { BlockedChamber, ChamberSpace } from './chamberSpace.ts';

/** Holds that need no words: on any side of the sculpt. */
const plain: readonly Vec3[] = [
  [0, 0, -1],
  [0, 0, 1],
  [0, -1, 0],
  [0, 1, 0],
  [-1, 0, 0],
  [1, 0, 0],
];
/** Holes are proposed from this on, mm. */
const LEAST_HOLE_MM = 2;

/** How each chamber empties, ponds in the print frame; null for one without openings. */
export function measureDrains(
  { blocks, toPrint }: ChamberSpace,
  openings: readonly OpeningFacts[],
  liquid: WettingLiquid,
  interrupter: Interrupter,
): (ChamberDrain | null)[] {
  const mouths = chamberMouths(openings, blocks.length, toPrint);
  const back = invertSimilarity(toPrint);
  const hanging = normalized(subtract(applyAffine(back, [0, 0, 1]), applyAffine(back, [0, 0, 0])));
  return blocks.map((blocked, chamber) => {
    const own = mouths[chamber]!;
    if (own.length === 0) return null;
    const drain = drainOf(blocked, own, hanging, liquid, interrupter);
    return {
      ...drain,
      pond: drain.pond && { ...drain.pond, at: applyAffine(toPrint, drain.pond.at) },
    };
  });
}

function drainOf(
  { fine, coarse }: BlockedChamber,
  mouths: readonly ChamberMouth[],
  hanging: Vec3,
  liquid: WettingLiquid,
  interrupter: Interrupter,
): ChamberDrain {
  const of = (blocks: BlockedChamber['fine']) => ({
    blocks,
    mouths,
    nodes: mouths.map((mouth) => mouthNodes(blocks, mouth)),
  });
  const down = searchAttitude(of(coarse), plain, liquid, interrupter);
  const chamber = of(fine);
  const best = drainAttitude(chamber, down, liquid);
  return {
    ...best,
    turn: washTurn(down),
    hangingMm3: floodChamber(chamber, scale(hanging, -1), liquid).leftMm3,
    freeingMm: best.pond && freeingDiameter(best.pond.lastTenthMm, liquid),
  };
}

/** 4·γ/(ρ·g·h): the hole that holds back no more than the lowest tenth of a pond (Young–Laplace, full wetting). */
function freeingDiameter(lastTenthMm: number, { surfaceTension, density }: WettingLiquid): number {
  const metres =
    (4 * surfaceTension) / (density * constants.gravity.value * Math.max(lastTenthMm, 0.1) * 1e-3);
  return Math.max(LEAST_HOLE_MM, metres * 1000);
}
