import { add, scale, type Vec3 } from '../vector.ts';
import type { FigureFacts } from './figureFacts.ts';
import type { JointRegion } from './joint.ts';
import { jointClearance } from './jointClearance.ts';
import type { JointDecision, PinDecision } from './jointDecision.ts';
import type { FittedJoint, FoundJoint, JointFacts } from './jointFacts.ts';
import { jointLoads } from './jointLoads.ts';
import { pinStrength } from './pinStrength.ts';

/**
 * Joints as found, with what was decided about them and what hangs on them; loads and pins are null without a figure.
 * `strengthMpa` of the resin of a part.
 */
export function loadJoints(
  found: readonly FittedJoint[],
  decisions: readonly JointDecision[],
  figure: FigureFacts | null,
  factor: number,
  strengthMpa: (part: string) => number,
): readonly JointFacts[] {
  const decided = found.map((facts) => decisions.find(({ parts }) => isOf(parts, facts)) ?? null);
  const bearing = found.map((facts, n) => {
    const pin = decided[n]?.pin ?? null;
    return { ...facts, at: bearingPlace(facts.joint.regions, pin, factor), isPinned: pin !== null };
  });
  const loads =
    figure === null ? null : jointLoads(bearing, figure.parts, figure.figure.standsOn, figure.figure.up);
  return found.map((facts, n): JointFacts => {
    const load = loads?.[n] ?? null;
    const pin = decided[n]?.pin ?? null;
    const strength = Math.min(strengthMpa(facts.first), strengthMpa(facts.second));
    return {
      ...facts,
      load,
      decided: decided[n]?.name ?? null,
      clearance: decided[n] == null ? null : jointClearance(facts, decided[n]),
      pin:
        pin === null || load === null
          ? null
          : { load, strength: pinStrength(load, pin, strength), at: bearing[n]!.at },
    };
  });
}

/** A pin stands in one region, the largest; what is not pinned bears on all of them. */
function bearingPlace(regions: readonly JointRegion[], pin: PinDecision | null, factor: number): Vec3 {
  if (pin?.at != null) return scale(pin.at, factor);
  if (pin !== null) return regions[0]!.at;
  const area = regions.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
  const moment = regions.reduce<Vec3>((sum, { areaMm2, at }) => add(sum, scale(at, areaMm2)), [0, 0, 0]);
  return scale(moment, 1 / area);
}

const isOf = (parts: JointDecision['parts'], { first, second }: FoundJoint): boolean =>
  parts.length === 2 && first !== second && parts.includes(first) && parts.includes(second);
