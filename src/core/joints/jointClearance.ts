import type { GapSpread, Joint } from './joint.ts';
import type { JointDecision } from './jointDecision.ts';
import { type FoundJoint, plugAndSocket } from './jointFacts.ts';
import { RELIEF_SLACK_MM } from './reliefBox.ts';

/** A gap that is made where two parts meet, by taking from one of them. mm. */
export interface JointClearance {
  readonly mm: number;
  /** The part that is taken from, and the one that stays as it is. */
  readonly gives: string;
  readonly keeps: string;
  /** How deep it is cut at most; 0 where the clearance is there. */
  readonly cutMm: number;
}

/** What a decision comes to at a joint; null where it asks for none, or names a part that is not of the joint. */
export function jointClearance(
  facts: FoundJoint,
  { clearance, parts }: Pick<JointDecision, 'clearance' | 'parts'>,
): JointClearance | null {
  if (clearance === null) return null;
  const gives = clearance.give ?? plugAndSocket(facts)?.socket ?? parts[1]!;
  if (gives !== facts.first && gives !== facts.second) return null;
  const keeps = gives === facts.first ? facts.second : facts.first;
  const missing = clearance.mm - facts.joint.gap.least;
  return { mm: clearance.mm, gives, keeps, cutMm: missing > RELIEF_SLACK_MM ? missing : 0 };
}

/** The joint as it comes out: whatever stood nearer than the clearance stands that far apart. */
export function madeJoint(joint: Joint, clearanceMm: number): Joint {
  return {
    ...joint,
    gap: madeSpread(joint.gap, clearanceMm),
    slide: joint.slide && madeSpread(joint.slide, clearanceMm),
    overlap: null,
  };
}

/** Gaps keep their order, so every share of the area keeps its place in it. */
function madeSpread(spread: GapSpread, clearanceMm: number): GapSpread {
  const made = (gapMm: number): number => Math.max(gapMm, clearanceMm);
  return {
    areaMm2: spread.areaMm2,
    least: made(spread.least),
    q5: made(spread.q5),
    q25: made(spread.q25),
    median: made(spread.median),
    q75: made(spread.q75),
    q95: made(spread.q95),
    most: made(spread.most),
  };
}
