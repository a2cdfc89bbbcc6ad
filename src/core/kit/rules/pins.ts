import { applyAffine } from '../../affine.ts';
import type { JointDecision } from '../../joints/jointDecision.ts';
import type { JointFacts, PinFacts } from '../../joints/jointFacts.ts';
import type { FindingDraft } from '../finding.ts';
import type { Manifest } from '../manifest.ts';
import { shorten } from '../manifestPath.ts';
import { nearestWord } from '../nearestWord.ts';
import { figure, figuresApart } from './figures.ts';
import type { KitContext } from './ruleContext.ts';

/** What was decided about joints, against what was found. */
export function pinRules(context: KitContext): FindingDraft[] {
  return context.manifest.joints.flatMap((decision) => {
    const facts = context.joints.find(({ decided }) => decided === decision.name);
    if (facts === undefined) return unfound(decision, context);
    return [...giverUnfound(decision, facts), ...pinWeak(decision, facts, context.assembled?.leftOut ?? [])];
  });
}

function unfound({ name, parts }: JointDecision, { manifest, facts, joints }: KitContext): FindingDraft[] {
  const same = joints.find((joint) => parts.includes(joint.first) && parts.includes(joint.second));
  const fault =
    same === undefined || new Set(parts).size !== 2
      ? whyUnfound(parts, manifest, facts)
      : `is of the same two parts as ${shorten(same.decided!)}, and a joint has one pin. Take one of them out.`;
  const message = `The joint ${shorten(name)} ${fault}`;
  return fault === null ? [] : [{ code: 'joint-unfound', part: null, path: ['joints', name], message }];
}

/** Null where it is not known: of parts that were not measured, or do not stand together. */
function whyUnfound(
  parts: readonly string[],
  { assembled, limits, parts: own }: Manifest,
  facts: KitContext['facts'],
): string | null {
  const [one, other] = parts;
  if (one === undefined || other === undefined || one === other) {
    return 'does not name two parts. Write `parts: [one, other]`.';
  }
  const known = own.map(({ name }) => name);
  const strange = parts.find((part) => !known.includes(part));
  if (strange !== undefined) {
    const nearest = nearestWord(strange, known);
    const advice = nearest === null ? 'Correct the name, or take it out.' : `Did you mean ${nearest}?`;
    return `names ${shorten(strange)}, which is no part of this kit. ${advice}`;
  }
  const standsIn = (part: string): boolean =>
    facts.get(part)?.mesh.sound === true && own.find(({ name }) => name === part)!.count > 0;
  if (assembled === null || !parts.every(standsIn)) return null;
  return `is of ${one} and ${other}, which do not meet within ${figure(limits.jointReach, 'mm')}. Correct the names, or take it out.`;
}

/** A clearance that is to be taken from a part that is not at the joint. */
function giverUnfound({ name, clearance, parts }: JointDecision, facts: JointFacts): FindingDraft[] {
  if (clearance === null || facts.clearance !== null) return [];
  return [
    {
      code: 'joint-unfound',
      part: null,
      path: ['joints', name, 'give'],
      message: `The joint ${shorten(name)} lets ${shorten(clearance.give!)} give, which is none of its two parts, so its clearance is not cut. Write ${parts.map(shorten).join(' or ')}.`,
    },
  ];
}

function pinWeak(
  { name, pin }: JointDecision,
  facts: JointFacts,
  leftOut: readonly string[],
): FindingDraft[] {
  if (pin === null || facts.pin === null) return [];
  const { strength, at } = facts.pin;
  const place = {
    code: 'pin-weak',
    part: facts.second,
    path: ['joints', name, 'pin'],
    at: applyAffine(facts.toPrint[1], at),
  } as const;
  const { neededMm, diameterMm, bearingMpa, strengthMpa } = strength;
  if (diameterMm < neededMm * (1 - 1e-9)) {
    const [given, needed] = figuresApart(diameterMm, neededMm, 'mm');
    return [
      {
        ...place,
        message: `The pin of ${shorten(name)} bends: ${loadText(facts.pin)}, which a rod of ${given} ${pin.metal} bears ${figure(strength.reserve, 'times')}, not ${figure(pin.safety, 'times')}. It takes ${needed}.${without(leftOut)}`,
        measured: diameterMm,
        limit: neededMm,
        unit: 'mm',
      },
    ];
  }
  if (!(bearingMpa > strengthMpa * (1 + 1e-9))) return [];
  return [
    {
      ...place,
      message: `The pin of ${shorten(name)} presses too hard on its sockets: ${loadText(facts.pin)}, which is ${figure(bearingMpa, 'MPa')} at the mouth of a socket ${figure(strength.depthMm, 'mm')} deep, above the ${figure(strengthMpa, 'MPa')} of the resin. Let it reach ${figure(strength.neededDepthMm, 'mm')} into each part, or take a thicker rod.${without(leftOut)}`,
      measured: bearingMpa,
      limit: strengthMpa,
      unit: 'MPa',
    },
  ];
}

const loadText = ({ load, strength }: PinFacts): string =>
  `${figure(load.massG, 'g')} hang on it, ${figure(load.armMm, 'mm')} away, ${figure(strength.momentNm, 'N·m')} as the figure is handled`;

const without = (leftOut: readonly string[]): string =>
  leftOut.length === 0 ? '' : ` Not weighed: ${leftOut.map(shorten).join(', ')}; more may hang on it.`;
