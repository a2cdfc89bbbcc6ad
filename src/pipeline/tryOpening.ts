import { applyAffine, invertSimilarity } from '../core/affine.ts';
import { findingTable } from '../core/kit/findingTable.ts';
import { partRules } from '../core/kit/rules/measuredRules.ts';
import { closestOnSurface } from '../core/openings/closestOnSurface.ts';
import type { OpeningDecision } from '../core/openings/opening.ts';
import { type Result, success } from '../core/result.ts';
import { sourceRounding } from '../core/sourceRounding.ts';
import type { Vec3 } from '../core/vector.ts';
import type { OpeningCandidate, OpeningTrial, TrialFigures } from '../protocol/openingTrial.ts';
import { decidedPart } from './decidedPart.ts';
import { withStages } from './measurePart.ts';
import { openingView } from './openingView.ts';
import type { PartRequest } from './partRequest.ts';
import type { NamelessFacts } from './partStages.ts';
import type { StageContext } from './stageContext.ts';

export interface TryRequest extends PartRequest {
  /** By which the rules judge. */
  readonly manifestText: string;
  readonly candidate: OpeningCandidate;
}

/** What is drawn may lie this far off the part itself, mm: the point is taken to the surface from there. */
const DRAWN_WITHIN_MM = 5;

/** Measures the part with a candidate opening as the check would, and writes nothing. */
export async function tryOpening(request: TryRequest, context: StageContext): Promise<Result<OpeningTrial>> {
  const { manifest, part } = decidedPart(request.manifestText, request.name);
  return withStages(request, context, false, async (stages): Promise<Result<OpeningTrial>> => {
    const pose = await stages.pose();
    if (!pose.ok) return pose;
    const openable = await stages.openable();
    if (!openable.ok) return openable;
    const now = await stages.facts();
    if (!now.ok) return now;
    const { point, distanceMm } = closestOnSurface(openable.value.outer, request.candidate.at);
    const inPrint = distanceMm <= DRAWN_WITHIN_MM ? point : request.candidate.at;
    const at = sourceRounding(request.factor)(applyAffine(invertSimilarity(pose.value.frame), inPrint));
    const { openings, index } = withCandidate(request.openings, request.candidate, at);
    const then = await stages.tried(openings);
    if (!then.ok) return then;
    const { id } = openings[index]!;
    const drafts = partRules({
      manifest,
      part: { ...part, openings },
      facts: { name: part.name, ...then.value },
    });
    return success({
      id,
      at,
      placed: openingView(then.value.openings[index]!),
      before: figuresOf(now.value),
      after: figuresOf(then.value),
      said: drafts
        .filter(({ opening }) => opening === id)
        .map(({ code, message }) => ({ code, message, severity: findingTable[code].severity })),
    });
  });
}

/** The part's openings with the candidate among them, where the manifest would have it. */
function withCandidate(
  openings: readonly OpeningDecision[],
  { id, kind, diameter }: OpeningCandidate,
  at: Vec3,
): { readonly openings: readonly OpeningDecision[]; readonly index: number } {
  const index = openings.findIndex((opening) => opening.id === id);
  if (index >= 0) return { openings: openings.with(index, { ...openings[index]!, at, diameter }), index };
  const next = nextId(openings, kind);
  return { openings: [...openings, { id: next, kind, at, diameter }], index: openings.length };
}

/** Entries that cannot be used count too: an id is a place in the list. */
function nextId(openings: readonly OpeningDecision[], kind: OpeningDecision['kind']): string {
  const taken = openings.filter((opening) => opening.kind === kind).map(({ id }) => Number(id.split('/')[1]));
  return `${kind}s/${Math.max(-1, ...taken) + 1}`;
}

function figuresOf({ loads: { cups, peakPullN, trappedMm3 } }: NamelessFacts): TrialFigures {
  const breathing = cups.map(({ breathesLayer }) => breathesLayer);
  const never = breathing.filter((layer) => layer === null).length;
  return {
    breathesLayer: never > 0 || cups.length === 0 ? null : Math.max(...(breathing as number[])),
    sealedCups: never,
    suctionN: Math.max(0, ...cups.map((cup) => cup.peakPullN)),
    pullN: peakPullN,
    trappedMl: trappedMm3.reduce((sum, mm3) => sum + mm3, 0) / 1000,
  };
}
