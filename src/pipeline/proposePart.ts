import { applyAffine, invertSimilarity } from '../core/affine.ts';
import { roundVec3 } from '../core/kit/rounding.ts';
import { type AskedBore, clearOfLights } from '../core/lights/clearOfLights.ts';
import { diametersMm } from '../core/openings/diameters.ts';
import { openingVerdicts } from '../core/openings/openingVerdicts.ts';
import { BEYOND_WALL_MM } from '../core/openings/placeMouth.ts';
import { placeOpening } from '../core/openings/placeOpening.ts';
import { liquidResin } from '../core/physics/loadSetting.ts';
import { type OpeningSite, openingSites } from '../core/propose/openingSites.ts';
import { type Proposal, proposeOpenings } from '../core/propose/proposeOpenings.ts';
import { slantedSites } from '../core/propose/slantedSites.ts';
import type { Result } from '../core/result.ts';
import { movedOutline } from '../core/showSide/showOutline.ts';
import { showSide } from '../core/showSide/showSide.ts';
import { sourceRounding } from '../core/sourceRounding.ts';
import { norm, normalized, subtract, type Vec3 } from '../core/vector.ts';
import { decidedPart } from './decidedPart.ts';
import { judgeOpenings } from './judgeOpenings.ts';
import { withStages } from './measurePart.ts';
import { neighboursCover } from './neighboursCover.ts';
import type { PartRequest } from './partRequest.ts';
import type { StageContext } from './stageContext.ts';

/** A twentieth of a degree. */
const DIRECTION_DECIMALS = 3;

export interface ProposeRequest extends PartRequest {
  /** By which the rules judge. */
  readonly manifestText: string;
  /** The other parts of the kit, which may cover faces of this one. */
  readonly neighbours: readonly PartRequest[];
}

/** Openings for a part: measured and judged as the check does, and nothing is written. */
export async function proposePart(request: ProposeRequest, context: StageContext): Promise<Result<Proposal>> {
  const decided = decidedPart(request.manifestText, request.name);
  const covered = await neighboursCover(request, request.neighbours, context);
  return withStages(request, context, false, async (stages): Promise<Result<Proposal>> => {
    const pose = await stages.pose();
    if (!pose.ok) return pose;
    const openable = await stages.openable();
    if (!openable.ok) return openable;
    const layered = await stages.layered();
    if (!layered.ok) return layered;
    const lights = await stages.lights();
    if (!lights.ok) return lights;
    const { graph, solid, xLow, xHigh } = layered.value;
    const labels = { solid, xLow, xHigh, regionStart: graph.regionStart };
    const { frame } = pose.value;
    const show = showSide(request.show.map((outline) => movedOutline(outline, frame)));
    const back = invertSimilarity(frame);
    const round = sourceRounding(request.factor);
    const toSource = (at: Vec3): Vec3 => applyAffine(back, at);
    const surroundings = { onShowSide: show.holds, coveredBy: (at: Vec3) => covered(toSource(at)) };
    const voids = { graph, labels };
    const isClear = clearOfLights(lights.value);
    const isFree = (site: OpeningSite): boolean => isClear(narrowestAt(site));
    const sites = openingSites(openable.value, surroundings, voids, context.stage('looking for places'));
    const slanted = slantedSites(openable.value, surroundings, voids);
    return proposeOpenings(
      request.openings,
      {
        sites: sites.filter(isFree),
        slanted: (start) => slanted(start).filter(isFree),
        toSource: (at) => round(toSource(at)),
        towardSource: (direction) =>
          roundVec3(normalized(applyAffine({ ...back, shift: [0, 0, 0] }, direction)), DIRECTION_DECIMALS),
        fluid: liquidResin(request.resin),
        limits: request.limits,
        fits: (decision) => openingVerdicts(placeOpening(decision, openable.value), true).length === 0,
        offLights: (decision) =>
          lights.value.length === 0 || isOff(placeOpening(decision, openable.value).placed, isClear),
      },
      { quick: judgeOpenings(stages, decided, false), thorough: judgeOpenings(stages, decided, true) },
      context.stage('trying openings'),
    );
  });
}

/** The least that a site would have drilled. */
const narrowestAt = ({ mouth, entry, axis }: OpeningSite): AskedBore => ({
  mouth,
  axis,
  radius: diametersMm[0] / 2,
  depth: norm(subtract(entry, mouth)) + BEYOND_WALL_MM,
});

const isOff = (placed: AskedBore | null, isClear: (bore: AskedBore) => boolean): boolean =>
  placed !== null && isClear(placed);
