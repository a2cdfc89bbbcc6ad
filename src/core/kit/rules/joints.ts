import { applyAffine } from '../../affine.ts';
import { madeJoint } from '../../joints/jointClearance.ts';
import { type JointFacts, plugAndSocket } from '../../joints/jointFacts.ts';
import type { Vec3 } from '../../vector.ts';
import type { FindingDraft } from '../finding.ts';
import type { FindingCode } from '../findingTable.ts';
import type { Limits } from '../manifest.ts';
import { figure, figuresApart, plural } from './figures.ts';
import type { KitContext } from './ruleContext.ts';

/**
 * One finding for each joint at most, at the part whose hidden face is the easier one to change: the socket. Parts
 * that lie in each other by more than half are no joints but a kit whose files do not stand together: told once.
 */
export function jointRules(context: KitContext): FindingDraft[] {
  const { manifest, joints } = context;
  const swallowed = joints.filter((facts) => isSwallowed(facts, context));
  const others = joints.filter((facts) => !swallowed.includes(facts));
  return [
    ...apart(swallowed, manifest.limits),
    ...others.flatMap((facts) => judgeJoint(facts, manifest.limits)),
  ];
}

/** Share of a part that lies in another from which on they are not taken to stand together. */
const SWALLOWED = 0.5;

function isSwallowed({ first, second, joint }: JointFacts, { facts }: KitContext): boolean {
  if (joint.overlap === null) return false;
  const volumes = [first, second].map((part) => facts.get(part)?.mesh.volumeMm3 ?? Infinity);
  return joint.overlap.volumeMm3 > SWALLOWED * Math.min(...volumes);
}

function apart(swallowed: readonly JointFacts[], { jointClash }: Limits): FindingDraft[] {
  const facts = swallowed[0];
  if (facts === undefined) return [];
  const { depthMm, at } = facts.joint.overlap!;
  const more = swallowed.length > 1 ? `, and ${plural(swallowed.length - 1, 'more pair')} likewise` : '';
  return draft(
    'joint-clash',
    facts,
    at,
    `More than half of a part lies inside another: ${facts.first} and ${facts.second}${more}. If the STL files do not stand together as the figure, write \`assembled: no\`, and no joints are looked for; else let one give way in the sculpt.`,
    depthMm,
    jointClash,
  );
}

function judgeJoint(facts: JointFacts, limits: Limits): FindingDraft[] {
  const { clearance, joint } = facts;
  const made = clearance === null ? facts : { ...facts, joint: madeJoint(joint, clearance.mm) };
  return clash(made, limits) ?? tight(made, limits) ?? loose(made, limits) ?? [];
}

function clash(facts: JointFacts, { jointClash }: Limits): FindingDraft[] | null {
  const { overlap } = facts.joint;
  if (overlap === null || !(overlap.depthMm > jointClash)) return null;
  const [depth, limit] = figuresApart(overlap.depthMm, jointClash, 'mm');
  const volume = figure(overlap.volumeMm3 / 1000, 'ml');
  return draft(
    'joint-clash',
    facts,
    overlap.at,
    `${meeting(facts)}: both take the same space, up to ${depth} deep, above ${limit}, ${volume} in all. As they are they do not go together; let one of them give way there in the sculpt, have a \`clearance\` cut (\`joints\`), or cut it back after printing.`,
    overlap.depthMm,
    jointClash,
  );
}

/** A joint that binds anywhere binds: the narrowest twentieth of its sliding faces counts. */
function tight(facts: JointFacts, { jointTight }: Limits): FindingDraft[] | null {
  const { slide, nearest, plug } = facts.joint;
  if (slide === null || plug === null || !(slide.q5 < jointTight)) return null;
  const [gap, limit] = figuresApart(slide.q5, jointTight, 'mm');
  return draft(
    'joint-tight',
    facts,
    nearest,
    `${meeting(facts)}: a twentieth of the faces that slide past each other stand ${gap} apart or less, under ${limit}; half of them ${figure(slide.median, 'mm')}. A print easily grows by as much, and then it binds. ${widen(facts)}`,
    slide.q5,
    jointTight,
  );
}

const widen = ({ clearance }: JointFacts): string =>
  clearance === null
    ? 'Widen the socket in the sculpt, have a `clearance` cut (`joints`), or reckon with sanding.'
    : 'Give the joint a larger `clearance`, or reckon with sanding.';

/** What touches in a few spots is laid against, not fitted. */
const LEAST_FITTED_MM2 = 20;

function loose(facts: JointFacts, { jointLoose }: Limits): FindingDraft[] | null {
  const { slide, gap, regions } = facts.joint;
  const spread = slide ?? gap;
  if (!(spread.median > jointLoose) || gap.areaMm2 < LEAST_FITTED_MM2) return null;
  const [median, limit] = figuresApart(spread.median, jointLoose, 'mm');
  return draft(
    'joint-loose',
    facts,
    regions[0]!.at,
    `${meeting(facts)}: half of the faces stand ${median} apart or more, above ${limit}. It does not hold by itself, and the seam shows: close the gap in the sculpt, or reckon with a pin and filler.`,
    spread.median,
    jointLoose,
  );
}

function meeting(facts: JointFacts): string {
  const roles = plugAndSocket(facts);
  return roles === null ? `${facts.second} against ${facts.first}` : `${roles.plug} in ${roles.socket}`;
}

function draft(
  code: FindingCode,
  facts: JointFacts,
  at: Vec3,
  message: string,
  measured: number,
  limit: number,
): FindingDraft[] {
  const part = plugAndSocket(facts)?.socket ?? facts.second;
  const toPrint = facts.toPrint[part === facts.first ? 0 : 1];
  return [
    {
      code,
      part,
      path: ['parts', part],
      atKey: true,
      message,
      at: applyAffine(toPrint, at),
      measured,
      limit,
      unit: 'mm',
    },
  ];
}
