import type { OpeningId } from '../openings/opening.ts';
import { scale, type Vec3 } from '../vector.ts';
import { type AirWay, airWay, restLevel } from './airWay.ts';
import type { ChamberBlocks } from './chamberBlocks.ts';
import type { ChamberMouth } from './chamberMouth.ts';
import { drainPools, type MouthOutlet } from './drainPools.ts';
import { drainTimes } from './drainTimes.ts';
import { type Flood, floodBlocks } from './floodBlocks.ts';
import { leftShares } from './leftInBlocks.ts';
import { mouthLevels } from './mouthLevels.ts';
import { largestPond, type Pond } from './pond.ts';
import type { WettingLiquid } from './wettingLiquid.ts';

/** A chamber full of liquid and its mouths (one at least), with the nodes that each of them opens. */
export interface DrainingChamber {
  readonly blocks: ChamberBlocks;
  readonly mouths: readonly ChamberMouth[];
  readonly nodes: readonly (readonly number[])[];
}

/** A pond, and the mouth whose edge or surface tension holds it; null where the chamber's own shape does. */
export interface HeldPond extends Pick<Pond, 'volumeMm3' | 'at' | 'depthMm' | 'lastTenthMm'> {
  readonly holds: OpeningId | null;
}

/** How a chamber empties while it is held one way. Frame: that of its cells. */
export interface AttitudeDrain {
  /** Unit vector of gravity. */
  readonly down: Vec3;
  readonly leftMm3: number;
  /** Part of that which surface tension holds at the mouths. */
  readonly retainedMm3: number;
  readonly air: AirWay;
  /** s until it is empty but for that; null when the air does not come in by a mouth of its own. */
  readonly seconds: number | null;
  readonly byOpening: readonly {
    readonly id: OpeningId;
    readonly drainedMm3: number;
    readonly seconds: number;
  }[];
  /** The largest that stays. */
  readonly pond: HeldPond | null;
}

export interface DrainedFlood {
  readonly flood: Flood;
  readonly shares: Float64Array;
  readonly outlets: readonly MouthOutlet[];
  readonly leftMm3: number;
}

/** Liquid left with `up` upward; `liquid` null leaves surface tension out. */
export function floodChamber(
  { blocks, mouths, nodes }: DrainingChamber,
  up: Vec3,
  liquid: WettingLiquid | null,
): DrainedFlood {
  const outlets = mouths.flatMap((mouth, index) => {
    const levels = mouthLevels(mouth, up);
    const level = liquid === null ? levels.sill : restLevel(levels, mouth, liquid);
    return nodes[index]!.map((node) => ({ node, level, mouth: index }));
  });
  const flood = floodBlocks(blocks, up, outlets);
  const shares = leftShares(blocks, flood, up);
  let leftMm3 = 0;
  for (let node = 0; node < shares.length; node++) leftMm3 += shares[node]! * blocks.volumeMm3[node]!;
  return { flood, shares, outlets, leftMm3 };
}

/** The air that comes in while the lowest mouth drains. */
export function airWayOf({ mouths }: DrainingChamber, up: Vec3, liquid: WettingLiquid): AirWay {
  const rest = mouths.map((mouth) => restLevel(mouthLevels(mouth, up), mouth, liquid));
  const lowest = rest.reduce((best, level, index) => (level < rest[best]! ? index : best), 0);
  const drain = mouths[lowest];
  return drain === undefined ? 'none' : airWay(drain, mouths, up, liquid);
}

export function drainAttitude(chamber: DrainingChamber, down: Vec3, liquid: WettingLiquid): AttitudeDrain {
  const { blocks, mouths } = chamber;
  const up = scale(down, -1);
  const drained = floodChamber(chamber, up, liquid);
  const { flood, shares, outlets, leftMm3 } = drained;
  const air = airWayOf(chamber, up, liquid);
  const pool = air === 'other' ? drainPools(blocks, flood, shares, outlets, up) : null;
  const times = drainTimes(pool, mouths, up, liquid);
  return {
    down,
    leftMm3,
    retainedMm3: Math.max(0, leftMm3 - floodChamber(chamber, up, null).leftMm3),
    air,
    seconds: times.seconds,
    byOpening: mouths.map(({ id }, index) => ({ id, ...times.byMouth[index]! })),
    pond: heldPond(chamber, drained, up),
  };
}

function heldPond(
  { blocks, mouths }: DrainingChamber,
  { flood, shares, outlets }: DrainedFlood,
  up: Vec3,
): HeldPond | null {
  const pond = largestPond(blocks, flood, shares, up);
  if (pond === null) return null;
  const { volumeMm3, at, depthMm, lastTenthMm, level } = pond;
  const outlet = outlets[pond.outlet];
  return {
    volumeMm3,
    at,
    depthMm,
    lastTenthMm,
    holds: outlet?.level === level ? mouths[outlet.mouth]!.id : null,
  };
}
