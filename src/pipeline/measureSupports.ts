import type { Interrupter } from '../core/interrupter.ts';
import { cutByLayer } from '../core/layers/cutByLayer.ts';
import { closestOnSurface } from '../core/openings/closestOnSurface.ts';
import type { OpenablePart } from '../core/openings/openablePart.ts';
import type { OpeningFacts } from '../core/openings/opening.ts';
import type { PartLoads } from '../core/physics/partLoads.ts';
import { liquidVolume } from '../core/physics/resinAmounts.ts';
import { tipStrength } from '../core/physics/tipStrength.ts';
import type { ShowSide } from '../core/showSide/showSide.ts';
import { footRadius, raftLip } from '../core/supports/footOf.ts';
import { planSupports } from '../core/supports/planSupports.ts';
import { barsVolume, supportBars } from '../core/supports/supportBodies.ts';
import type { SupportFacts } from '../core/supports/supportPlan.ts';
import { cross, normalized, subtract, type Vec3 } from '../core/vector.ts';
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
  // Every foot is on the plate with its raft, whatever it comes to bear.
  const edge = footRadius(strongest, decision) + raftLip(decision);
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
    },
    interrupter,
  );
  const bars = plan.supports.flatMap((support) => supportBars(support, decision));
  return { ...plan, volumeMm3: barsVolume(bars) };
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

/** Whether the surface at a point is show side; `shows` is asked only for a part that has one. */
export function shownOn(surfaces: OpenablePart, shows: ShowSide): (at: Vec3) => boolean {
  const { mesh } = surfaces.outer;
  return (at) => {
    const { facet, point } = closestOnSurface(surfaces.outer, at);
    return facet >= 0 && shows.holds(point, normalOf(mesh, facet));
  };
}

function normalOf({ positions, triangles }: OpenablePart['outer']['mesh'], facet: number): Vec3 {
  const [a, b, c] = [0, 1, 2].map((corner): Vec3 => {
    const at = 3 * triangles[3 * facet + corner]!;
    return [positions[at]!, positions[at + 1]!, positions[at + 2]!];
  }) as [Vec3, Vec3, Vec3];
  return normalized(cross(subtract(b, a), subtract(c, a)));
}
