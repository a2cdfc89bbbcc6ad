import { norm, subtract, type Vec3 } from '../vector.ts';
import type { FootTrim } from './dripOpenings.ts';
import { footRadius, raftLip } from './foot.ts';
import { shareLeft } from './shareLeft.ts';
import type { SupportDecision } from './supportDecision.ts';
import type { Support, SupportPlan } from './supportPlan.ts';

/** A round bar between two points, its ends of these radii. Print frame, mm. */
export interface Bar {
  readonly from: Vec3;
  readonly to: Vec3;
  readonly fromRadius: number;
  readonly toRadius: number;
  /** Upright planes at which it ends beside; none when absent. */
  readonly trims?: readonly FootTrim[];
}

/** How far a tip reaches into the part, so that both are one, mm. */
const BITE_MM = 0.15;
/** Between the part and itself a lower support is as slim as its tip all the way, mm. */
const LEAST_WAIST_MM = 1;
/** Least height of a tip's cone where the part below is near, mm. */
const LEAST_CONE_MM = 0.3;

/** The bars that the supports of a plan are made of. */
export const barsOfPlan = (
  { supports, ties }: Pick<SupportPlan, 'supports' | 'ties'>,
  decision: SupportDecision,
): Bar[] => [
  ...supports.flatMap((support) => supportBars(support, decision)),
  ...ties.map(({ from, to, widthMm }) => ({ from, to, fromRadius: widthMm / 2, toRadius: widthMm / 2 })),
];

/** The bars of one support, from its tip down to its foot. */
export function supportBars(support: Support, decision: SupportDecision): Bar[] {
  const { contact, tipMm, strutMm, line, stands, trims } = support;
  const [x, y, z] = contact.at;
  const tip = tipMm / 2;
  const foot = line.at(-1)!;
  const strut = stands === 'part' && z - foot[2] < LEAST_WAIST_MM ? tip : strutMm / 2;
  const head = line[0]!;
  const bars: Bar[] = [{ from: [x, y, z + BITE_MM], to: head, fromRadius: tip, toRadius: strut }];
  if (stands === 'part') {
    const neck = Math.min(head[2], foot[2] + Math.max(LEAST_CONE_MM, (z - foot[2]) / 3));
    const bottom: Vec3 = [foot[0], foot[1], foot[2] - BITE_MM];
    const top: Vec3 = [foot[0], foot[1], neck];
    if (neck < head[2]) bars.push({ from: head, to: top, fromRadius: strut, toRadius: strut });
    bars.push({ from: top, to: bottom, fromRadius: strut, toRadius: tip });
    return bars;
  }
  for (let n = 0; n + 1 < line.length; n++) {
    const [from, to] = [line[n]!, line[n + 1]!];
    if (from[2] > to[2]) bars.push({ from, to, fromRadius: strut, toRadius: strut });
  }
  const radius = footRadius(support.loadN, decision);
  const lip = radius + raftLip(decision);
  bars.push({ from: [foot[0], foot[1], decision.raft], to: foot, fromRadius: lip, toRadius: radius, trims });
  return bars;
}

/** mm³, what bars share counted for each: a little too much. */
export function barsVolume(bars: readonly Bar[]): number {
  return bars.reduce((sum, { from, to, fromRadius: r, toRadius: s, trims = [] }) => {
    const height = norm(subtract(to, from));
    const left = shareLeft(to[0], to[1], (r + s) / 2, trims);
    return sum + (Math.PI / 3) * height * (r * r + r * s + s * s) * left;
  }, 0);
}
