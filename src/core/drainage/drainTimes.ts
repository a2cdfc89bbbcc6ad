import { circularSegment, roundSection } from '../physics/circularSegment.ts';
import { constants } from '../physics/constants.ts';
import { ventFlow, ventResistance } from '../physics/ventResistance.ts';
import { norm, subtract, type Vec3 } from '../vector.ts';
import { heldHead, restLevel } from './airWay.ts';
import type { ChamberMouth } from './chamberMouth.ts';
import type { DrainPool } from './drainPools.ts';
import { type MouthLevels, mouthLevels } from './mouthLevels.ts';
import type { WettingLiquid } from './wettingLiquid.ts';

export interface MouthFlow {
  /** mm³ that leave by the mouth, and s from the start until its last. */
  readonly drainedMm3: number;
  readonly seconds: number;
}

export interface DrainTimes {
  /** s until 99 % of what runs off has left; null where nothing does, or the flow stops before. */
  readonly seconds: number | null;
  /** By mouth; 0 of both where only air comes in. */
  readonly byMouth: readonly MouthFlow[];
}

/** Share of what runs off that is not waited for: the last drops come ever slower (τ·ln H). Engineering choice. */
const UNWAITED_SHARE = 0.01;

/** Gauss–Legendre points on 0 to 1 with their weights (Abramowitz & Stegun 25.4.29, n = 3). */
const gauss = [
  [0.5 - Math.sqrt(0.15), 5 / 18],
  [0.5, 8 / 18],
  [0.5 + Math.sqrt(0.15), 5 / 18],
] as const;

/**
 * How long full chambers take to empty, with `up` upward and air let in.
 *
 * A pool falls slice by slice: dt = dV / ΣQ, Q of each mouth from ρ·g·H = R·Q + ½·ρ·(Q/(C_d·a))² with
 * H from its exit (`ventResistance`: Sampson, Hagen–Poiseuille, orifice), less what surface tension
 * holds. Of several mouths in one pool the highest lets the air in; while it lies under the liquid, air
 * bubbles in there and the head above it does not count (Mariotte's bottle). A mouth that faces
 * sideways flows through what lies under the liquid, as a segment. Pools that part empty side by side.
 * The resistance of the air and the film left on the walls are not counted.
 */
export function drainTimes(
  pool: DrainPool | null,
  mouths: readonly ChamberMouth[],
  up: Vec3,
  liquid: WettingLiquid,
): DrainTimes {
  const levels = mouths.map((mouth) => {
    const own = mouthLevels(mouth, up);
    return { ...own, rest: restLevel(own, mouth, liquid) };
  });
  const drained = new Float64Array(mouths.length);
  const ends = new Float64Array(mouths.length);
  if (pool === null) return { seconds: null, byMouth: mouths.map(() => ({ drainedMm3: 0, seconds: 0 })) };
  const last = empty(pool, 0, volumeOf(pool));
  const seconds = Number.isFinite(last) ? last : null;
  const byMouth = mouths.map((_, at) => ({ drainedMm3: drained[at]!, seconds: ends[at]! }));
  return { seconds, byMouth };

  /** Seconds at which the pool and those it parts into are empty; `pathMm3` of all that runs off goes this way. */
  function empty({ mouths: members, slices, parts }: DrainPool, start: number, pathMm3: number): number {
    const inlet =
      members.length < 2 ? null : members.reduce((a, b) => (levels[b]!.rest > levels[a]!.rest ? b : a));
    const outflows = members.filter((mouth) => mouth !== inlet);
    const airAt = inlet === null ? Infinity : levels[inlet]!.top;
    const below = parts.reduce((sum, part) => sum + volumeOf(part), 0);
    let wanted = sliceVolume(slices) + below - UNWAITED_SHARE * pathMm3;
    let time = start;
    for (const { top, bottom, volumeMm3 } of slices) {
      if (wanted <= 0) break;
      const part = Math.min(1, wanted / volumeMm3);
      wanted -= volumeMm3;
      time += sliceSeconds(top, top - (top - bottom) * part, volumeMm3 * part);
    }
    for (const mouth of outflows) if (drained[mouth]! > 0) ends[mouth] = time;
    return parts.reduce(
      (latest, part) => Math.max(latest, empty(part, time, (pathMm3 * volumeOf(part)) / below)),
      time,
    );

    function sliceSeconds(top: number, bottom: number, volumeMm3: number): number {
      let seconds = 0;
      for (const [place, weight] of gauss) {
        const level = Math.min(airAt, bottom + (top - bottom) * place);
        const flows = outflows.map((mouth) => mouthFlow(mouths[mouth]!, levels[mouth]!, level, liquid));
        const sum = flows.reduce((a, b) => a + b, 0);
        seconds += (weight * volumeMm3 * 1e-9) / sum;
        outflows.forEach((mouth, at) => {
          drained[mouth]! += (weight * volumeMm3 * flows[at]!) / sum;
        });
      }
      return seconds;
    }
  }
}

const sliceVolume = (slices: DrainPool['slices']): number =>
  slices.reduce((sum, { volumeMm3 }) => sum + volumeMm3, 0);

const volumeOf = ({ slices, parts }: DrainPool): number =>
  parts.reduce((sum, part) => sum + volumeOf(part), sliceVolume(slices));

/** m³/s through a mouth with the liquid at `level`, mm. */
function mouthFlow(
  { radius, outer, inner }: ChamberMouth,
  { exit, rise, rest }: MouthLevels & { readonly rest: number },
  level: number,
  liquid: WettingLiquid,
): number {
  const head = level - exit;
  if (level <= rest) return 0;
  const wetted = Math.min(rise, head);
  const section =
    wetted >= rise
      ? roundSection(0.002 * radius)
      : circularSegment(0.001 * radius, (0.002 * radius * wetted) / rise);
  const bore = ventResistance(section, 0.001 * norm(subtract(inner, outer)), liquid);
  const driving = (head - heldHead(radius, liquid)) * (1 - wetted / (2 * head));
  return ventFlow(bore, 0.001 * liquid.density * constants.gravity.value * driving);
}
