import type { Interrupter } from '../core/interrupter.ts';
import { cutByLayer } from '../core/layers/cutByLayer.ts';
import { facetNormal } from '../core/openings/boreView.ts';
import { closestOnSurface } from '../core/openings/closestOnSurface.ts';
import type { OpenablePart } from '../core/openings/openablePart.ts';
import type { OpeningFacts } from '../core/openings/opening.ts';
import type { PartLoads } from '../core/physics/partLoads.ts';
import { liquidVolume } from '../core/physics/resinAmounts.ts';
import { tipStrength } from '../core/physics/tipStrength.ts';
import type { ShowSide } from '../core/showSide/showSide.ts';
import { footRadius, footReserve, raftLip } from '../core/supports/footOf.ts';
import { planSupports } from '../core/supports/planSupports.ts';
import { barsVolume, supportBars } from '../core/supports/supportBodies.ts';
import type { SupportDecision } from '../core/supports/supportDecision.ts';
import type { SupportFacts, SupportPlan } from '../core/supports/supportPlan.ts';
import type { Vec3 } from '../core/vector.ts';
import type { AskedSupports, LateDecisions } from './lateDecisions.ts';
import type { LayeredPart } from './measureLayered.ts';

/** The supports of a part that asks for them, its openings cut. Print frame. */
export function measureSupports(
  { solid, xLow, xHigh }: LayeredPart,
  openings: readonly OpeningFacts[],
  { pullN, areaMm2 }: Pick<PartLoads, 'pullN' | 'areaMm2'>,
  { decision, room, leastMm2 }: AskedSupports,
  { film, resin, limits }: Pick<LateDecisions, 'film' | 'resin' | 'limits'>,
  shownAt: (at: Vec3) => boolean,
  interrupter: Interrupter,
): SupportFacts {
  const placed = openings.flatMap(({ placed }) => (placed === null ? [] : [placed]));
  const strongest = tipStrength(decision.widestTip * 1e-3, resin.greenStrength * 1e6);
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
      halfPlate: [room[0] / 2 - edge, room[1] / 2 - edge],
      foot: { heightMm: decision.raft, radiusMm: footRadius(0, decision) + lip },
    },
    interrupter,
  );
  const bars = plan.supports.flatMap((support) => supportBars(support, decision));
  return { ...plan, worst: withFeet(plan, decision), volumeMm3: barsVolume(bars) };
}

/** The weakest of all, feet on the plate included. */
function withFeet({ worst, supports }: SupportPlan, decision: SupportDecision): SupportPlan['worst'] {
  return supports.reduce((weakest, { loadN, loadLayer, stands }) => {
    const reserve = footReserve(loadN, decision);
    const isWeaker = stands === 'plate' && reserve < (weakest?.reserve ?? Number.POSITIVE_INFINITY);
    return isWeaker ? { reserve, layer: loadLayer, at: null } : weakest;
  }, worst);
}

/** What supports take of the bottle; the part’s own mass is what stands on the shelf, without them. */
export function withSupports(
  loads: PartLoads,
  { volumeMm3 }: SupportFacts,
  resin: LateDecisions['resin'],
): PartLoads {
  return {
    ...loads,
    curedMm3: loads.curedMm3 + volumeMm3,
    liquidMm3: loads.liquidMm3 + liquidVolume(volumeMm3, resin),
  };
}

/** Whether the surface at a point is show side; that of a hollow never is. */
export function shownOn({ outer, cavity }: OpenablePart, shows: ShowSide): (at: Vec3) => boolean {
  return (at) => {
    const { facet, point, distanceMm } = closestOnSurface(outer, at);
    if (facet < 0 || (cavity !== null && closestOnSurface(cavity, at).distanceMm < distanceMm)) return false;
    const facing = facetNormal(outer.mesh, facet);
    return facing !== null && shows.holds(point, facing);
  };
}
