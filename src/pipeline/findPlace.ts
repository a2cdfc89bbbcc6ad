import { applyAffine, invertSimilarity } from '../core/affine.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { openingFaults } from '../core/kit/rules/openings.ts';
import { clearOfLights } from '../core/lights/clearOfLights.ts';
import { hasMouthRoom } from '../core/openings/hasMouthRoom.ts';
import { isApart } from '../core/openings/isApart.ts';
import { type GoodPlace, nearestGoodPlace } from '../core/openings/nearestGoodPlace.ts';
import type { OpeningFacts, OpeningId, PlacedOpening } from '../core/openings/opening.ts';
import { badness, type Judge } from '../core/propose/judgement.ts';
import { type Result, success } from '../core/result.ts';
import { movedOutline } from '../core/showSide/showOutline.ts';
import { showSide } from '../core/showSide/showSide.ts';
import { sourceRounding } from '../core/sourceRounding.ts';
import { norm, subtract } from '../core/vector.ts';
import { decidedPart } from './decidedPart.ts';
import { judgeOpenings } from './judgeOpenings.ts';
import { withStages } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import type { StageContext } from './stageContext.ts';

export interface PlaceRequest extends PartRequest {
  /** By which the rules judge. */
  readonly manifestText: string;
  readonly opening: OpeningId;
}

/**
 * The nearest place where an opening is good: nothing is said against it by itself, it opens the chamber that
 * it opens now (any, where it opens none), its mouth has room and stands clear of the others and of what is
 * thin, its bore of the lights, and the check says less of the part's openings than before. Null when there is none. Nothing is written.
 */
export async function findPlace(
  request: PlaceRequest,
  context: StageContext,
): Promise<Result<GoodPlace | null>> {
  const decided = decidedPart(request.manifestText, request.name);
  const index = request.openings.findIndex(({ id }) => id === request.opening);
  const decision = request.openings[index];
  if (decision === undefined) return success(null);
  return withStages(request, context, false, async (stages): Promise<Result<GoodPlace | null>> => {
    const pose = await stages.pose();
    if (!pose.ok) return pose;
    const measured = await stages.facts();
    if (!measured.ok) return measured;
    const openable = await stages.openable();
    if (!openable.ok) return openable;
    const facts = { name: request.name, ...measured.value };
    // A vent has nothing to open in a solid part.
    if (facts.hollow.chambers.length === 0 && decision.kind !== 'tube') return success(null);
    const { frame } = pose.value;
    const show = showSide(request.show.map((outline) => movedOutline(outline, frame)));
    const now = facts.openings[index]!;
    const others = facts.openings.flatMap(({ placed }, at) => (at === index ? [] : (placed ?? [])));
    const back = invertSimilarity(frame);
    const round = sourceRounding(request.factor);
    const isOffLights = clearOfLights(facts.lights);
    const isSound = (opening: OpeningFacts): boolean =>
      (opening.placed === null || isOffLights(opening.placed)) &&
      openingFaults({ ...decided, facts: { ...facts, openings: [opening] } }).length === 0;
    const judges = [false, true].map((thoroughly) => judgeOpenings(stages, decided, thoroughly));
    const accepts = await acceptsLess(judges, request.openings);
    if (!accepts.ok) return accepts;
    return nearestGoodPlace(
      decision,
      openable.value,
      {
        toSource: (at) => round(applyAffine(back, at)),
        chamber: now.chamber,
        isRoomy: ({ placed, facing }) =>
          isApart(placed.mouth, placed.radius, others) &&
          isOffThin(placed, facts) &&
          !(decision.kind !== 'tube' && show.reach(placed.mouth, facing, placed.radius) > 0) &&
          hasMouthRoom(placed, facing, openable.value.outer),
        isGood: (opening) => (now.chamber === null || opening.chamber === now.chamber) && isSound(opening),
        accepts: (moved) => accepts.value(request.openings.with(index, moved)),
      },
      context.stage('looking for a place'),
    );
  });
}

/** Thin patches are told by a point and an area: they are taken for discs. */
function isOffThin({ mouth, radius }: PlacedOpening, { trueWall }: PartFacts): boolean {
  return [...trueWall.sheets, ...trueWall.webs].every(
    ({ at, areaMm2 }) => norm(subtract(at, mouth)) >= radius + Math.sqrt(areaMm2 / Math.PI),
  );
}

type Openings = Parameters<Judge>[0];

/** Whether less is said with other openings than with the part's own, by each judge in turn. */
async function acceptsLess(
  judges: readonly Judge[],
  own: Openings,
): Promise<Result<(openings: Openings) => Promise<Result<boolean>>>> {
  const limits: number[] = [];
  for (const judge of judges) {
    const before = await judge(own);
    if (!before.ok) return before;
    limits.push(badness(before.value).said);
  }
  return success(async (openings) => {
    for (const [n, judge] of judges.entries()) {
      const after = await judge(openings);
      if (!after.ok) return after;
      if (!(badness(after.value).said < limits[n]! - 1e-9)) return success(false);
    }
    return success(true);
  });
}
