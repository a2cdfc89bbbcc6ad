import { type Affine, applyAffine } from '../core/affine.ts';
import type { Interrupter } from '../core/interrupter.ts';
import { cutByLayer } from '../core/layers/cutByLayer.ts';
import type { OpeningFacts } from '../core/openings/opening.ts';
import type { PartLoads } from '../core/physics/partLoads.ts';
import { tipStrength } from '../core/physics/tipStrength.ts';
import { footRadius, footReserve, raftLip } from '../core/supports/foot.ts';
import { planSupports } from '../core/supports/planSupports.ts';
import { barsOfPlan, barsVolume } from '../core/supports/supportBodies.ts';
import type { SupportDecision } from '../core/supports/supportDecision.ts';
import type { SupportFacts, SupportPlan } from '../core/supports/supportPlan.ts';
import { norm, subtract, type Vec3 } from '../core/vector.ts';
import type { AskedSupports, LateDecisions } from './lateDecisions.ts';
import type { LayeredPart } from './measureLayered.ts';

/** The supports of a part that asks for them, its openings cut. Print frame; `frame` leads there from source coordinates. */
export function measureSupports(
  { solid, xLow, xHigh }: LayeredPart,
  openings: readonly OpeningFacts[],
  { pullN, areaMm2 }: Pick<PartLoads, 'pullN' | 'areaMm2'>,
  { decision, room, leastMm2 }: AskedSupports,
  { film, resin, limits }: Pick<LateDecisions, 'film' | 'resin' | 'limits'>,
  shownAt: (at: Vec3) => boolean,
  frame: Affine,
  interrupter: Interrupter,
): SupportFacts {
  const placed = openings.flatMap(({ placed }) => (placed === null ? [] : [placed]));
  const widestMm = Math.max(decision.widestTip, ...decision.byHand.map(({ tip }) => tip ?? 0));
  const strongest = tipStrength(widestMm * 1e-3, resin.greenStrength * 1e6);
  const lip = raftLip(decision);
  // Every foot is on the plate with its raft, whatever it comes to bear.
  const edge = footRadius(strongest, decision) + lip;
  const plan = planSupports(
    {
      part: { solid: cutByLayer(solid, placed), xLow, xHigh },
      suctionN: pullN.map((pull, layer) => Math.max(0, pull - film.peel * 1e-3 * areaMm2[layer]!)),
      setting: {
        tipMm: decision.tip,
        widestTipMm: decision.widestTip,
        spacingMm: decision.spacing,
        strutMm: decision.strut,
        selfSupportDeg: limits.selfSupport,
        leastMm2,
        peel: film.peel,
        plateHold: decision.plateHold,
        greenStrength: resin.greenStrength,
        greenModulus: resin.greenModulus,
        safety: decision.safety,
        density: resin.density,
      },
      isShown: shownAt,
      byHand: decision.byHand.map(({ index, at, tip }) => ({
        index,
        at: applyAffine(frame, at),
        tipMm: tip,
      })),
      isKeptFree: keptFree(decision, frame),
      halfPlate: [room[0] / 2 - edge, room[1] / 2 - edge],
      foot: { heightMm: decision.raft, radiusMm: footRadius(0, decision) + lip },
    },
    interrupter,
  );
  return { ...plan, worst: withFeet(plan, decision), volumeMm3: barsVolume(barsOfPlan(plan, decision)) };
}

function keptFree({ keepFree }: SupportDecision, frame: Affine): (at: Vec3) => boolean {
  const balls = keepFree.map(({ at, radius }) => ({ middle: applyAffine(frame, at), radius }));
  return (at) => balls.some(({ middle, radius }) => norm(subtract(at, middle)) <= radius);
}

/** A foot that could grow is as large as it must be, give or take rounding; one that could not holds less than this. */
const HELD = 1 - 1e-6;

/** The weakest of all, with the feet that are too small at their greatest. */
function withFeet({ worst, supports }: SupportPlan, decision: SupportDecision): SupportPlan['worst'] {
  return supports.reduce((weakest, { loadN, loadLayer, stands }) => {
    const reserve = stands === 'plate' ? footReserve(loadN, decision) : Number.POSITIVE_INFINITY;
    const isWeaker = reserve < Math.min(HELD, weakest?.reserve ?? Number.POSITIVE_INFINITY);
    return isWeaker ? { reserve, layer: loadLayer, at: null } : weakest;
  }, worst);
}
