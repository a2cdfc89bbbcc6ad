import { type Affine, applyAffine } from '../core/affine.ts';
import type { Interrupter } from '../core/interrupter.ts';
import type { PartLoads } from '../core/physics/partLoads.ts';
import type { Footprint } from '../core/plates/footprint.ts';
import { type Result, success } from '../core/result.ts';
import { dripOpenings } from '../core/supports/dripOpenings.ts';
import { footRadius, footReserve, raftLip } from '../core/supports/foot.ts';
import { type HoldingWay, planSupports, type SupportInput } from '../core/supports/planSupports.ts';
import { shareLeft } from '../core/supports/shareLeft.ts';
import { barsOfPlan, barsVolume } from '../core/supports/supportBodies.ts';
import type { SupportDecision } from '../core/supports/supportDecision.ts';
import type { RaftOutside, SupportFacts, SupportPlan } from '../core/supports/supportPlan.ts';
import { type FootReach, turnOntoPlate } from '../core/supports/turnOntoPlate.ts';
import { widestReach } from '../core/supports/widestReach.ts';
import { norm, subtract, type Vec3 } from '../core/vector.ts';
import type { AskedSupports, LateDecisions } from './lateDecisions.ts';
import type { SupportStages } from './supportStages.ts';

/** What supports of a part are measured by, beside what they are planned on; `frame` leads to the print from source coordinates. */
export interface SupportRequest {
  readonly loads: Pick<PartLoads, 'pullN' | 'areaMm2'>;
  readonly asked: AskedSupports;
  readonly late: Pick<LateDecisions, 'film' | 'resin' | 'limits'>;
  readonly isShown: (at: Vec3) => boolean;
  readonly frame: Affine;
  /** Of the part alone. */
  readonly footprint: () => Promise<Result<Footprint>>;
  /** The one way of holding that is looked at; without it all are tried in turn. */
  readonly only?: HoldingWay;
}

/** The supports of a part that asks for them. Print frame. */
export async function measureSupports(
  { ground, standing }: SupportStages,
  request: SupportRequest,
  interrupter: Interrupter,
): Promise<Result<SupportFacts>> {
  const { loads, asked, late, isShown, frame, only } = request;
  const { pullN, areaMm2 } = loads;
  const { decision, room, leastMm2 } = asked;
  const { film, resin, limits } = late;
  // Every foot is on the plate with its raft, whatever it comes to bear.
  const edge = widestReach(decision, resin.greenStrength);
  const input: SupportInput = {
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
    isShown,
    byHand: decision.byHand.map(({ index, at, tip }) => ({
      index,
      at: applyAffine(frame, at),
      tipMm: tip,
    })),
    isKeptFree: keptFree(decision, frame),
    halfPlate: [room[0] / 2 - edge, room[1] / 2 - edge],
    raftMm: decision.raft,
    ...(only === undefined ? {} : { only }),
  };
  const planning = planSupports(ground, input, interrupter);
  let next = planning.next();
  while (!next.done) {
    const stands = await standing(next.value, input);
    if (!stands.ok) return stands;
    next = planning.next(stands.value);
  }
  // Nothing that a trial tells depends on the raft's openings.
  const plan = only === undefined ? withDrips(next.value, decision, interrupter) : next.value;
  const feet = feetOutside(plan, decision, room, edge);
  const footprint = feet === null ? null : await request.footprint();
  if (footprint !== null && !footprint.ok) return footprint;
  return success({
    ...plan,
    worst: withFeet(plan, decision),
    volumeMm3: barsVolume(barsOfPlan(plan, decision)),
    outside: feet && footprint && tellOutside(plan, feet, decision, room, edge, footprint.value),
  });
}

function keptFree({ keepFree }: SupportDecision, frame: Affine): (at: Vec3) => boolean {
  const balls = keepFree.map(({ at, radius }) => ({ middle: applyAffine(frame, at), radius }));
  return (at) => balls.some(({ middle, radius }) => norm(subtract(at, middle)) <= radius);
}

/** The feet with drip openings where they would enclose pockets. */
function withDrips(plan: SupportPlan, decision: SupportDecision, interrupter: Interrupter): SupportPlan {
  const standing = plan.supports.filter(({ stands }) => stands === 'plate');
  const feet = standing.map(({ line, loadN, strutMm }) => {
    const [x, y] = line.at(-1)!;
    const radiusMm = footRadius(loadN, decision);
    const leastShare = loadN > 0 ? 1 / footReserve(loadN, decision) : 0;
    return { x, y, radiusMm, lipMm: raftLip(decision), strutMm, leastShare };
  });
  const trims = dripOpenings(feet, interrupter);
  const own = new Map(standing.map((support, n) => [support, trims[n]!]));
  return {
    ...plan,
    supports: plan.supports.map((support) => ({ ...support, trims: own.get(support) ?? [] })),
  };
}

/** A foot that could grow is as large as it must be, give or take rounding; one that could not holds less than this. */
const HELD = 1 - 1e-6;

/** The weakest of all, with the feet that are too small at their greatest. */
function withFeet({ worst, supports }: SupportPlan, decision: SupportDecision): SupportPlan['worst'] {
  return supports.reduce((weakest, { loadN, loadLayer, stands, line, trims }) => {
    const [x, y] = line.at(-1)!;
    const left = shareLeft(x, y, footRadius(loadN, decision), trims);
    const reserve = stands === 'plate' ? footReserve(loadN, decision) * left : Number.POSITIVE_INFINITY;
    const isWeaker = reserve < Math.min(HELD, weakest?.reserve ?? Number.POSITIVE_INFINITY);
    return isWeaker ? { reserve, layer: loadLayer, at: null } : weakest;
  }, worst);
}

/** A foot that is beyond the plate, or would be. */
interface FootOutside {
  readonly at: Vec3;
  readonly layer: number;
  readonly foot: FootReach;
  readonly beyondMm: number;
  readonly stands: boolean;
}

/** What lies in a plate's room by less is rounding, mm. */
const BEYOND_MM = 1e-6;

/** A foot is kept on the plate by the radius that the widest tip asks for (`edge`); an overloaded tip asks for more. */
function feetOutside(
  { supports, offPlate }: SupportPlan,
  decision: SupportDecision,
  [width, depth]: readonly [number, number],
  edge: number,
): FootOutside[] | null {
  const beyond = ({ x, y, reachMm }: FootReach): number =>
    Math.max(Math.abs(x) + reachMm - width / 2, Math.abs(y) + reachMm - depth / 2);
  const standing = supports.flatMap(({ contact, loadN, line, stands }) => {
    const foot = footOf(line.at(-1)!, footRadius(loadN, decision) + raftLip(decision));
    const beyondMm = beyond(foot);
    if (stands !== 'plate' || beyondMm <= BEYOND_MM) return [];
    return [{ at: contact.at, layer: contact.layer, foot, beyondMm, stands: true }];
  });
  const wanted = offPlate.map(({ at, layer, foot }) => {
    const reach = footOf(foot, edge);
    return { at, layer, foot: reach, beyondMm: beyond(reach), stands: false };
  });
  return standing.length + wanted.length === 0 ? null : [...standing, ...wanted];
}

const footOf = ([x, y]: Vec3, reachMm: number): FootReach => ({ x, y, reachMm });

function tellOutside(
  { supports }: SupportPlan,
  outside: readonly FootOutside[],
  decision: SupportDecision,
  room: readonly [number, number],
  edge: number,
  footprint: Footprint,
): RaftOutside {
  const worst = outside.reduce((a, b) => (b.beyondMm > a.beyondMm ? b : a));
  const others = supports
    .filter(({ stands }) => stands === 'plate')
    .map(({ loadN, line }) =>
      footOf(line.at(-1)!, Math.max(edge, footRadius(loadN, decision) + raftLip(decision))),
    );
  const feet = [...others, ...outside.map(({ foot }) => foot)];
  return {
    unheld: outside.filter(({ stands }) => !stands).length,
    standing: outside.filter(({ stands }) => stands).length,
    beyondMm: worst.beyondMm,
    at: worst.at,
    layer: worst.layer,
    roomMm: [
      feet.reduce((most, { x, reachMm }) => Math.max(most, 2 * (Math.abs(x) + reachMm)), 0),
      feet.reduce((most, { y, reachMm }) => Math.max(most, 2 * (Math.abs(y) + reachMm)), 0),
    ],
    turnZ: turnOntoPlate(footprint, feet, room),
  };
}
