import { type Interrupter, uninterrupted } from '../interrupter.ts';
import { basisAcross } from '../openings/basisAcross.ts';
import { sphereDirections } from '../sphereDirections.ts';
import { add, normalized, scale, type Vec3 } from '../vector.ts';
import { airWayOf, type DrainingChamber, drainAttitude, floodChamber } from './drainAttitude.ts';
import type { WettingLiquid } from './wettingLiquid.ts';

const DIRECTIONS = sphereDirections(96);
/** Steps by which the best is looked round, in degrees, six ways each. */
const TILTS_DEG = [12, 6, 3];
/** Attitudes that leave so much more than the best, as a share of the chamber, are as good as it. Engineering choice. */
const AS_GOOD = 0.005;
/** Times this much longer are as quick. Engineering choice. */
const AS_QUICK = 1.25;

/**
 * The way to hold a chamber so that least liquid stays in it, as the direction of gravity: the best of
 * 96 directions, of the plain ones given and of every mouth straight down, then looked round in smaller
 * steps. A plain one, or a mouth straight down, is taken when it is about as good and as quick. An attitude in which no air comes in dependably counts
 * as one that leaves everything. `coarse` should have a few thousand nodes.
 */
export function searchAttitude(
  coarse: DrainingChamber,
  plain: readonly Vec3[],
  liquid: WettingLiquid,
  interrupter: Interrupter = uninterrupted,
): Vec3 {
  const volumeMm3 = coarse.blocks.volumeMm3.reduce((sum, volume) => sum + volume, 0);
  const stays = (down: Vec3): number => {
    const up = scale(down, -1);
    const { leftMm3 } = floodChamber(coarse, up, liquid);
    return airWayOf(coarse, up, liquid) === 'none' ? volumeMm3 + leftMm3 : leftMm3;
  };
  const simple = [...plain, ...coarse.mouths.map(({ axis }) => scale(axis, -1))];
  const all = [...simple, ...DIRECTIONS];
  const left = all.map((down, index) => {
    interrupter((0.8 * index) / all.length);
    return stays(down);
  });
  const first = left.reduce((best, amount, index) => (amount < left[best]! ? index : best), 0);
  let best = { down: all[first]!, leftMm3: left[first]! };
  for (const [round, tilt] of TILTS_DEG.entries()) {
    interrupter(0.8 + (0.2 * round) / TILTS_DEG.length);
    if (best.leftMm3 <= AS_GOOD * volumeMm3) break;
    for (const down of tilted(best.down, tilt)) {
      const leftMm3 = stays(down);
      if (leftMm3 < best.leftMm3) best = { down, leftMm3 };
    }
  }
  const asGood = simple.filter((_, index) => left[index]! <= best.leftMm3 + AS_GOOD * volumeMm3);
  return quickest([...asGood, best.down], coarse, liquid);
}

/** The first of those that empty about as quickly as any. */
function quickest(attitudes: readonly Vec3[], coarse: DrainingChamber, liquid: WettingLiquid): Vec3 {
  const seconds = attitudes.map((down) => drainAttitude(coarse, down, liquid).seconds ?? Infinity);
  const allowed = AS_QUICK * Math.min(...seconds);
  return attitudes.find((_, index) => seconds[index]! <= allowed)!;
}

function tilted(down: Vec3, degrees: number): Vec3[] {
  const [u, v] = basisAcross(down);
  const slope = Math.tan((degrees * Math.PI) / 180);
  return Array.from({ length: 6 }, (_, n) => {
    const turn = (n * Math.PI) / 3;
    return normalized(add(down, add(scale(u, slope * Math.cos(turn)), scale(v, slope * Math.sin(turn)))));
  });
}
