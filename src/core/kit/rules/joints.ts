import { applyAffine } from '../../affine.ts';
import { madeJoint } from '../../joints/jointClearance.ts';
import { type JointFacts, plugAndSocket, type SwallowedPair } from '../../joints/jointFacts.ts';
import type { Vec3 } from '../../vector.ts';
import type { FindingDraft } from '../finding.ts';
import type { FindingCode } from '../findingTable.ts';
import type { Limits } from '../manifest.ts';
import { shorten } from '../manifestPath.ts';
import { figure, figuresApart, plural } from './figures.ts';
import type { KitContext } from './ruleContext.ts';

/**
 * One finding for each joint at most, at the part whose hidden face is the easier one to change: the socket. Parts
 * that lie in each other by more than half are no joints but a kit whose files do not stand together: told once.
 */
export function jointRules({ manifest, joints, swallowed }: KitContext): FindingDraft[] {
  return [...apart(swallowed), ...joints.flatMap((facts) => judgeJoint(facts, manifest.limits))];
}

function apart(swallowed: readonly SwallowedPair[]): FindingDraft[] {
  const pair = swallowed[0];
  if (pair === undefined) return [];
  const more = swallowed.length > 1 ? `, and ${plural(swallowed.length - 1, 'more pair')} likewise` : '';
  return [
    {
      code: 'joint-clash',
      part: pair.second,
      path: ['parts', pair.second],
      atKey: true,
      message: `More than half of a part lies inside another: ${pair.first} and ${pair.second}${more}. If the STL files do not stand together as the figure, write \`assembled: no\`, and no joints are looked for; else let one give way in the sculpt. After three such pairs no further joint is looked for.`,
    },
  ];
}

function judgeJoint(facts: JointFacts, limits: Limits): FindingDraft[] {
  const { clearance, joint } = facts;
  const made = clearance === null ? facts : { ...facts, joint: madeJoint(joint, clearance.mm) };
  return clash(made, limits) ?? tight(made, limits) ?? loose(made, limits) ?? mayBind(made, limits) ?? [];
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

/** A joint that binds anywhere binds: the narrowest twentieth of its sliding faces counts, as it comes out. */
function tight(facts: JointFacts, { jointTight }: Limits): FindingDraft[] | null {
  const { slide, nearest, plug } = facts.joint;
  if (slide === null || plug === null) return null;
  const { known } = facts.fit;
  const narrow = slide.q5 + known.q5;
  if (!(narrow < jointTight)) return null;
  const [gap, limit] = figuresApart(narrow, jointTight, 'mm');
  return draft(
    'joint-tight',
    facts,
    nearest,
    `${meeting(facts)}: a twentieth of the faces that slide past each other ${tells(known.q5) ? 'come out' : 'stand'} ${gap} apart or less, under ${limit}; half of them ${figure(slide.median + known.median, 'mm')}. ${closing(facts)}A print easily grows by as much, and then it binds. ${besides(facts)}${widen(facts)}`,
    narrow,
    jointTight,
  );
}

/** mm that are worth a word. */
const tells = (mm: number): boolean => Math.abs(mm) >= 0.005;

/** What is known of how it comes out. */
function closing({ joint: { slide }, fit: { known } }: JointFacts): string {
  if (!tells(known.q5)) return '';
  return `Sculpted are ${figure(slide!.q5, 'mm')}; ${figure(-known.q5, 'mm')} go because stray light closes the socket (bore-loss). `;
}

/** What may come to it, since it was not measured. */
function besides({ fit: { byPose, bySpread, unmeasured } }: JointFacts): string {
  const most = -byPose.q5 - bySpread.q5;
  if (unmeasured.length === 0 || !tells(most)) return '';
  return `Up to ${figure(most, 'mm')} more may go: ${whyLess(byPose.q5, bySpread.q5)}. `;
}

/** Less is not named as a cause. */
const LEAST_CAUSE_MM = 0.001;

function whyLess(byPose: number, bySpread: number): string {
  const causes = [
    ...(byPose < -LEAST_CAUSE_MM
      ? [`${figure(-byPose, 'mm')} by pose, since the parts shrink along other axes`]
      : []),
    ...(bySpread < -LEAST_CAUSE_MM ? [`${figure(-bySpread, 'mm')} by base layers that spread`] : []),
  ];
  return causes.join(', ');
}

/** A joint that fits, if only its resin came out as drawn: worth a coupon before it is worth a file. */
function mayBind(facts: JointFacts, { jointTight }: Limits): FindingDraft[] | null {
  const { slide, nearest, plug } = facts.joint;
  const { known, tightest, byPose, bySpread, unmeasured } = facts.fit;
  if (slide === null || plug === null || unmeasured.length === 0) return null;
  if (!tells(byPose.q5 + bySpread.q5)) return null;
  const narrow = slide.q5 + tightest.q5;
  if (!(narrow < jointTight)) return null;
  const [gap, limit] = figuresApart(narrow, jointTight, 'mm');
  return draft(
    'joint-may-bind',
    facts,
    nearest,
    `${meeting(facts)}: it fits, but its narrowest twentieth may come out at ${gap} instead of ${figure(slide.q5 + known.q5, 'mm')}, under ${limit}: ${whyLess(byPose.q5, bySpread.q5)}. How much it really is nobody has measured of ${unmeasured.map(shorten).join(' and ')}: print the coupon, or lay both parts in the same pose.`,
    narrow,
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
  const wide = spread.median + facts.fit.known.median;
  if (!(wide > jointLoose) || gap.areaMm2 < LEAST_FITTED_MM2) return null;
  const [median, limit] = figuresApart(wide, jointLoose, 'mm');
  return draft(
    'joint-loose',
    facts,
    regions[0]!.at,
    `${meeting(facts)}: half of the faces stand ${median} apart or more, above ${limit}. It does not hold by itself, and the seam shows: close the gap in the sculpt, or reckon with a pin and filler.`,
    wide,
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
