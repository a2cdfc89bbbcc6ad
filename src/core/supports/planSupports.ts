import { type Interrupter, portion } from '../interrupter.ts';
import type { RunsByLayer } from '../rays/runsByLayer.ts';
import { norm, subtract, type Vec3 } from '../vector.ts';
import { bodyFinder } from './bodyFinder.ts';
import { chooseContacts, type SettledContact, type SoughtWay } from './chooseContacts.ts';
import type { Widening } from './fillColumns.ts';
import { type FreeColumns, type FreeSpace, freeSpace } from './freeSpace.ts';
import type { HangingRuns } from './hangingRuns.ts';
import { type KnownWays, noteWays, withKnownWays } from './knownWays.ts';
import type { ChosenContacts, Contact } from './loadLog.ts';
import type { PartGrowth } from './partGrowth.ts';
import { routeStrut, type StrutRoom } from './routeStrut.ts';
import { type Holding, sizeTips } from './sizeTips.ts';
import { standsOn } from './standsOn.ts';
import type { SupportedSolid } from './supportedSolid.ts';
import type { Support, SupportPlan } from './supportPlan.ts';
import type { SupportSetting } from './supportSetting.ts';
import { stiffWidth, tieStruts, untied } from './tieStruts.ts';
import { topUnder } from './topUnder.ts';
import { undersideNear } from './undersideNear.ts';

export interface SupportInput {
  /** Suction of its cups by layer, N. */
  readonly suctionN: Float64Array;
  readonly setting: SupportSetting;
  readonly isShown: (at: Vec3) => boolean;
  /** Placed by the builder himself, with the least width of the tip, mm. */
  readonly byHand: readonly { readonly index: number; readonly at: Vec3; readonly tipMm: number | null }[];
  readonly isKeptFree: (at: Vec3) => boolean;
  readonly halfPlate: readonly [number, number];
  /** The raft’s height, mm. */
  readonly raftMm: number;
  /** The only way that is tried, to know how tips hold, without ties; in its absence the tries in turn. */
  readonly only?: HoldingWay;
}

/** What a part is planned on: all that stands still while supports are tried. */
export interface SupportGround {
  readonly part: SupportedSolid;
  readonly growth: PartGrowth;
  /** Of `strutRoom`. */
  readonly columns: readonly FreeColumns[];
}

/** How near to each other tips are planned, mm, and under what slope, degrees from the plate. */
export interface HoldingWay {
  readonly spacingMm: number;
  readonly heldSlopeDeg: number;
}

/** Ways to hold more, tried in turn until everything holds: tips nearer to each other, and under steeper surface. */
const TRIES = [
  { closer: 1, steeper: 0 },
  { closer: 1, steeper: 15 },
  { closer: 0.7, steeper: 30 },
  { closer: 0.5, steeper: 45 },
] as const;
/** More tips that hold no better than this are not worth their marks. */
const WORTH = 1.05;
/** A reserve so small that a try must bring this much more for the next to be worth its time. */
const HOPELESS = 0.3;
const HELPING = 1.5;
/** Steeper than this a surface has no underside to speak of, degrees from the plate. */
const STEEPEST_DEG = 75;
/** Clearance between the middle line of a strut and the part beyond half the strut, mm. */
const GAP_MM = 0.4;
/** Few struts grow wider than this; those that do may graze the part, mm. */
const USUAL_STRUT_MM = 2;
/** A strut is at most this wide, mm. */
const WIDEST_STRUT_MM = 4;
/** How far above or below its underside a support may be placed by hand, mm; as openings snap to the surface. */
export const SNAP_MM = 2;

/** What is asked for of a way of holding. */
export interface StandingStill {
  readonly hanging: HangingRuns;
  /** Null where none are known. */
  readonly ways: KnownWays | null;
}

/** The ways of struts from all places that are asked for when nothing is decided by hand: most of what any plan asks for. */
export function seekWays(
  ground: SupportGround,
  hanging: HangingRuns,
  input: Pick<SupportInput, 'halfPlate' | 'raftMm'>,
  setting: Pick<SupportSetting, 'tipMm' | 'spacingMm'>,
  interrupter: Interrupter,
): KnownWays {
  const { seek, noted } = noteWays(seekIn(roomOf(ground, input)));
  const places = { isShown: () => false, isKeptFree: () => false, byHand: [], wayFrom: seek };
  const { growth, part } = ground;
  chooseContacts({ solid: part.solid, growth, hanging }, setting, places, interrupter);
  return noted();
}

function roomOf(
  { part: { solid }, columns }: SupportGround,
  { raftMm, halfPlate }: Pick<SupportInput, 'halfPlate' | 'raftMm'>,
): StrutRoom {
  const [bare, clear, feet] = columns.map(freeSpace) as [FreeSpace, FreeSpace, FreeSpace];
  const topUnderPlace = (x: number, y: number, z: number) => topInColumn(solid, bare, x, y, z);
  return { bare, clear, feet, raftMm, topUnder: topUnderPlace, halfPlate };
}

const seekIn =
  (room: StrutRoom) =>
  (at: Vec3, isStart: boolean): SoughtWay => {
    let offPlate: Vec3 | null = null;
    const route = routeStrut(at, isStart, room, (foot) => {
      offPlate ??= foot;
    });
    return { route, offPlate };
  };

/** What struts and feet keep clear of, for the columns of `SupportGround`: the solid itself, struts, feet. */
export const strutRoom = (
  strutMm: number,
  foot: { readonly heightMm: number; readonly radiusMm: number },
): Widening[] => [
  { clearanceMm: 0 },
  { clearanceMm: Math.max(strutMm, USUAL_STRUT_MM) / 2 + GAP_MM },
  { clearanceMm: foot.radiusMm, upToMm: foot.heightMm },
];

/**
 * Where a posed part is held, how strongly, and how the struts get there. Tips that hold everything are searched with
 * as few of them as the tries allow; what never holds stays in the plan and is told by its reserve.
 *
 * Yields each way of holding that it tries, and is to be gone on with what hangs over then (`findHanging`) and what is
 * known of the ways of struts (`seekWays`); so whoever asks may keep them.
 */
export function* planSupports(
  ground: SupportGround,
  input: SupportInput,
  interrupter: Interrupter,
): Generator<HoldingWay, SupportPlan, StandingStill> {
  const room = roomOf(ground, input);
  const settled = settleAll(input.byHand, ground, input.setting);
  const byHand = settled.flatMap(({ contact }) => contact ?? []);
  const { log, holding, way } = yield* bestTry(ground, input, byHand, room, interrupter);
  const { worst, reserve } = holding;
  // How a tip holds does not depend on ties: where one is tried they are left out.
  const tied = (input.only === undefined ? tieStruts : untied)(
    log.contacts.map(({ route }, n) => ({
      ...route,
      loadN: holding.loadN[n]!,
      leastMm: leastStrut(holding.widthMm[n]!, input.setting),
    })),
    input.setting,
    input.raftMm,
    room.clear.isFree,
  );
  return {
    supports: log.contacts.map((contact, n) => support(contact, holding, n, tied.freeMm[n]!, input.setting)),
    ties: tied.ties,
    unreached: log.unreached,
    offPlate: log.offPlate,
    idle: [
      ...settled.flatMap(({ index, why }) => (why === null ? [] : [{ index, why }])),
      ...log.wayless.map((index) => ({ index, why: 'no way' as const })),
    ],
    reserve,
    worst: worst && {
      reserve: worst.reserve,
      layer: worst.layer,
      at: worst.contact === null ? null : log.contacts[worst.contact]!.at,
    },
    spacingMm: way.spacingMm,
    heldSlopeDeg: way.heldSlopeDeg,
  };
}

/** The height of the highest solid under a place, mm; 0 where there is none. Steps that are free of solid are passed over. */
function topInColumn(solid: RunsByLayer, bare: FreeSpace, x: number, y: number, z: number): number {
  const { cellMm } = bare;
  const beside = topUnder(solid, x, y, z, z - cellMm);
  if (beside > 0) return beside;
  let top = bare.blockedBelow(x, y, z);
  while (top !== null) {
    const found = topUnder(solid, x, y, top, top - cellMm);
    if (found > 0) return found;
    // From within the step that was looked through.
    top = bare.blockedBelow(x, y, top - cellMm / 2);
  }
  return 0;
}

interface Settled {
  readonly index: number;
  readonly contact: SettledContact | null;
  /** Why it holds nothing; null where it stands. */
  readonly why: SupportPlan['idle'][number]['why'] | null;
}

/** Each on the underside that is meant. Two in one place would hold as one, and count as two. */
function settleAll(
  byHand: SupportInput['byHand'],
  { part, growth }: SupportGround,
  setting: SupportSetting,
): Settled[] {
  const taken: Vec3[] = [];
  const bodyAt = bodyFinder(part, growth);
  return byHand.map(({ index, at, tipMm }) => {
    const under = undersideNear(part.solid, at, SNAP_MM);
    // What lies on the plate is held by it.
    if (under === null || under.layer === 0) return { index, contact: null, why: 'no underside' };
    const leastMm = tipMm ?? setting.tipMm;
    if (taken.some((other) => norm(subtract(other, under.at)) < leastMm / 2)) {
      return { index, contact: null, why: 'taken' };
    }
    taken.push(under.at);
    const body = bodyAt(under.layer, under.at);
    return { index, contact: { ...under, byHand: index, leastMm, body }, why: null };
  });
}

interface Tried {
  readonly log: ChosenContacts;
  readonly holding: Holding;
  readonly way: HoldingWay;
}

/** The first try that holds everything, or else the one that holds best. */
function* bestTry(
  { part, growth }: SupportGround,
  { suctionN, setting, isShown, isKeptFree, only }: SupportInput,
  byHand: readonly SettledContact[],
  room: StrutRoom,
  interrupter: Interrupter,
): Generator<HoldingWay, Tried, StandingStill> {
  const seek = seekIn(room);
  let best: Tried | null = null;
  let before: Tried | null = null;
  const ways = only === undefined ? waysToHold(setting) : [only];
  for (const [n, way] of ways.entries()) {
    const share = (from: number, to: number) =>
      portion(interrupter, (n + from) / ways.length, (n + to) / ways.length);
    const { hanging, ways: known } = yield way;
    const wayFrom = known === null ? seek : withKnownWays(known, seek);
    const places = { isShown, isKeptFree, byHand, wayFrom };
    const tried = { ...setting, spacingMm: way.spacingMm };
    const log = chooseContacts({ solid: part.solid, growth, hanging }, tried, places, share(0, 0.5));
    const loads = { growth, ...log, on: standsOn(part, growth, log.contacts) };
    const one: Tried = { log, holding: sizeTips(loads, tried, suctionN, share(0.5, 1)), way };
    if (best === null || reserveOf(one) >= 1 || reserveOf(one) > WORTH * reserveOf(best)) best = one;
    if (reserveOf(one) >= 1 || isBeyondHelp(one, before)) break;
    before = one;
  }
  return best!;
}

/** The ways in the order in which they are tried. */
export const waysToHold = ({
  spacingMm,
  widestTipMm,
  selfSupportDeg,
}: Pick<SupportSetting, 'spacingMm' | 'widestTipMm' | 'selfSupportDeg'>): HoldingWay[] =>
  TRIES.map(({ closer, steeper }) => ({
    // Tips that run into each other hold no more than one.
    spacingMm: Math.max(widestTipMm, spacingMm * closer),
    heldSlopeDeg: Math.max(selfSupportDeg, Math.min(STEEPEST_DEG, selfSupportDeg + steeper)),
  }));

/** Where it is the plate that gives, or more tips bring what holds by far too little no further, no more are tried. */
function isBeyondHelp(one: Tried, before: Tried | null): boolean {
  const { worst } = one.holding;
  if (worst === null || worst.contact === null) return true;
  return before !== null && worst.reserve < HOPELESS && worst.reserve < HELPING * reserveOf(before);
}

const reserveOf = ({ holding }: Tried): number => holding.worst?.reserve ?? Number.POSITIVE_INFINITY;

/** A strut is no slimmer than its tip. */
const leastStrut = (tipMm: number, { strutMm }: SupportSetting): number => Math.max(strutMm, tipMm);

function support(
  contact: Contact,
  holding: Holding,
  n: number,
  freeMm: number,
  setting: SupportSetting,
): Support {
  const { route, ...place } = contact;
  const tipMm = holding.widthMm[n]!;
  const loadN = holding.loadN[n]!;
  const stiffMm = stiffWidth(freeMm, loadN, setting);
  return {
    contact: place,
    tipMm,
    loadN,
    loadLayer: holding.loadLayer[n]!,
    ...route,
    strutMm: Math.min(Math.max(leastStrut(tipMm, setting), stiffMm), WIDEST_STRUT_MM),
    freeMm,
    slender: stiffMm > WIDEST_STRUT_MM,
    trims: [],
  };
}
