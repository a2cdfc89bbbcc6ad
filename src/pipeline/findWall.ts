import type { Cavity } from '../core/field/cavity.ts';
import { WALL_SHORT_MM } from '../core/field/wallShortMm.ts';
import type { FoundWall } from '../core/propose/remedyAnswer.ts';
import { type Result, success } from '../core/result.ts';
import { withStages } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import type { PartStages } from './partStages.ts';
import type { StageContext } from './stageContext.ts';

/** Walls are tried in steps of this, mm. */
const STEP_MM = 0.1;

/**
 * The largest wall under the part's own that does not come out under `limits.least-wall`, with which the part has a chamber
 * of `limits.least-chamber` or more; of a part that has one, with which no lump thicker than `limits.lump`
 * stays solid. Found by halving: what a wall leaves hollow lies within what a thinner one leaves. Null when
 * none does. Nothing is written.
 */
export function findWall(request: PartRequest, context: StageContext): Promise<Result<FoundWall | null>> {
  return withStages(request, context, false, async (stages): Promise<Result<FoundWall | null>> => {
    const now = await stages.cavity();
    if (!now.ok) return now;
    if (request.wall === null || now.value === null) return success(null);
    const found = await thickest(request.wall, now.value, request.limits, stages);
    if (!found.ok) return found;
    if (found.value === null) return success(null);
    const pose = await stages.pose();
    return pose.ok ? success({ ...found.value, solidMm3: pose.value.mass.volume }) : pose;
  });
}

async function thickest(
  wallMm: number,
  now: Cavity,
  { leastWall, lump }: PartRequest['limits'],
  stages: PartStages,
): Promise<Result<Omit<FoundWall, 'solidMm3'> | null>> {
  const works = ({ chambers, lumps }: Cavity): boolean =>
    chambers.length > 0 &&
    (now.chambers.length === 0 || lumps.every(({ thicknessMm }) => thicknessMm <= lump));
  const inSteps = (mm: number): number => Math.ceil(mm / STEP_MM - 1e-9);
  let good = inSteps(leastWall + WALL_SHORT_MM) - 1;
  let bad = inSteps(Math.min(wallMm, now.deepestMm ?? wallMm));
  let found: Omit<FoundWall, 'solidMm3'> | null = null;
  while (bad - good > 1) {
    const tried = Math.floor((good + bad) / 2);
    const triedMm = Number((tried * STEP_MM).toFixed(3));
    const hollowed = await stages.hollowed(triedMm);
    if (!hollowed.ok) return hollowed;
    if (hollowed.value !== null && works(hollowed.value)) {
      good = tried;
      const { chambers } = hollowed.value;
      const hollowNowMm3 = volumeOf(now);
      found = {
        wallMm: triedMm,
        chambers: chambers.length,
        hollowMm3: volumeOf(hollowed.value),
        hollowNowMm3,
      };
    } else bad = tried;
  }
  return success(found);
}

const volumeOf = ({ chambers }: Cavity): number =>
  chambers.reduce((sum, { volumeMm3 }) => sum + volumeMm3, 0);
