import { applyAffine, invertSimilarity } from '../core/affine.ts';
import { applyEdits } from '../core/kit/edits.ts';
import { findingTable } from '../core/kit/findingTable.ts';
import type { Manifest, Part } from '../core/kit/manifest.ts';
import { holdWeak, islandUnheld, supportIdle, tipOnShowSide } from '../core/kit/rules/plannedSupports.ts';
import { type SupportGesture, supportEdits } from '../core/kit/supportEdits.ts';
import { failure, type Result, success } from '../core/result.ts';
import { sourceRounding } from '../core/sourceRounding.ts';
import { isStillThere, placingGestures } from '../core/supports/handGestures.ts';
import { type HoldingWay, SNAP_MM, waysToHold } from '../core/supports/planSupports.ts';
import type { SupportFacts } from '../core/supports/supportPlan.ts';
import { undersideNear } from '../core/supports/undersideNear.ts';
import { norm, subtract, type Vec3 } from '../core/vector.ts';
import type { SupportCandidate, SupportFigures, SupportTrial } from '../protocol/supportTrial.ts';
import { decidedPart } from './decidedPart.ts';
import { type AskedSupports, lateDecisions } from './lateDecisions.ts';
import { withStages } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import type { NamelessFacts } from './partStages.ts';
import type { StageContext } from './stageContext.ts';
import { tipView } from './tipView.ts';

export interface TrySupportRequest extends PartRequest {
  /** By which the rules judge. */
  readonly manifestText: string;
  readonly candidate: SupportCandidate;
}

/** A tip further than this from where a candidate would be is another one, mm. */
const SAME_MM = 0.1;

/**
 * What a candidate would change, and writes nothing. Tips are held in the way that the part's plan came to, so that
 * the loads are gone through once; whether the check would come to another is told by `asPlanned`. A tip that is as it
 * was asks nothing.
 */
export async function trySupport(
  request: TrySupportRequest,
  context: StageContext,
): Promise<Result<SupportTrial>> {
  return withStages(request, context, false, async (stages): Promise<Result<SupportTrial>> => {
    const now = await stages.facts();
    if (!now.ok) return now;
    const asItIs = unchanged(request, now.value);
    if (asItIs !== null) return asItIs;
    const pose = await stages.pose();
    if (!pose.ok) return pose;
    const layered = await stages.layered();
    if (!layered.ok) return layered;
    const { name, candidate, manifestText } = request;
    const back = invertSimilarity(pose.value.frame);
    const round = sourceRounding(request.factor);
    const toSource = (at: Vec3): Vec3 => round(applyAffine(back, at));
    const at = undersideNear(layered.value.solid, candidate.at, SNAP_MM)?.at ?? candidate.at;
    const { was, diameter: tipMm } = candidate;
    const standing = was && { ...was, atSource: toSource(was.at) };
    const { byHand = [], spacing = 0 } = request.supports ?? {};
    if (standing !== null && !isStillThere(standing, byHand, request.factor)) {
      return failure('cancelled', movedMeanwhile);
    }
    const plan = now.value.supports;
    const planned = plan?.spacingMm ?? spacing;
    const gestures = placingGestures(standing, { at, atSource: toSource(at), tipMm }, spacing, planned);
    const wanted = withGestures(manifestText, name, gestures);
    if (wanted === null) return failure('manifest-unreadable', notEditable);
    const asked = lateDecisions({ ...request, supports: wanted.part.supports }).supports!;
    const then = await stages.held(asked, plan ?? undefined);
    if (!then.ok) return then;
    const asPlanned = plan === null || (isFirstWay(plan, asked, request) && holds(then.value));
    return success({ ...trialOf(gestures, at, now.value, then.value, wanted), asPlanned });
  });
}

/** Of a tip that is where it was, and as wide: nothing is planned for that. */
function unchanged(
  { candidate: { was, at, diameter }, manifestText, name }: TrySupportRequest,
  now: NamelessFacts,
): Result<SupportTrial> | null {
  const tip = was && now.supports?.supports.find(({ contact }) => norm(subtract(contact.at, was.at)) === 0);
  if (!tip || tip.contact.byHand !== was!.byHand) return null;
  if (norm(subtract(at, tip.contact.at)) > 0 || diameter !== tip.tipMm) return null;
  const wanted = withGestures(manifestText, name, []);
  return wanted && success({ ...trialOf([], at, now, now.supports!, wanted), asPlanned: true });
}

const holds = ({ worst }: SupportFacts): boolean => worst === null || worst.reserve >= 1;

/** Whether it is the way that the check tries first, and keeps if that holds. */
function isFirstWay(plan: HoldingWay, { decision }: AskedSupports, { limits }: TrySupportRequest): boolean {
  const [first] = waysToHold({
    spacingMm: decision.spacing,
    widestTipMm: decision.widestTip,
    selfSupportDeg: limits.selfSupport,
  });
  return plan.spacingMm === first!.spacingMm && plan.heldSlopeDeg === first!.heldSlopeDeg;
}

interface Wanted {
  readonly manifest: Manifest;
  readonly part: Part;
}

function withGestures(text: string, name: string, gestures: readonly SupportGesture[]): Wanted | null {
  const edits = supportEdits(text, name, gestures);
  return edits && decidedPart(applyEdits(text, edits), name);
}

function trialOf(
  gestures: readonly SupportGesture[],
  at: Vec3,
  now: NamelessFacts,
  then: SupportFacts,
  { manifest, part }: Wanted,
): Omit<SupportTrial, 'asPlanned'> {
  const tip = then.supports.find(
    ({ contact }) =>
      (gestures.length === 0 || contact.byHand !== null) && norm(subtract(contact.at, at)) <= SAME_MM,
  );
  const context = { manifest, part, facts: { ...now, name: part.name, supports: then } };
  const drafts = [
    ...(tip === undefined ? supportIdle(context) : []),
    ...holdWeak(context),
    ...islandUnheld(context),
    ...(tip?.contact.onShow ? tipOnShowSide(context) : []),
  ];
  return {
    gestures,
    tip: tip === undefined ? null : tipView(tip),
    before: now.supports && figuresOf(now.supports),
    after: figuresOf(then),
    said: drafts.map(({ code, message }) => ({ code, message, severity: findingTable[code].severity })),
  };
}

function figuresOf({ supports, worst, unreached }: SupportFacts): SupportFigures {
  return {
    count: supports.length,
    reserve: worst?.reserve ?? null,
    reserveLayer: worst?.layer ?? null,
    unheld: unreached.length,
  };
}

const movedMeanwhile = 'kit.yaml has another support in its place by now, so it was left alone. Do it again.';

const notEditable =
  'This entry stands in kit.yaml in a way that cannot be edited by itself (over several lines, or shared by an anchor). Change it by hand.';
