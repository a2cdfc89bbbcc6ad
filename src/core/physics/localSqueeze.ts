import type { ChamberColumns } from '../chambers/chamberColumns.ts';
import type { Interrupter } from '../interrupter.ts';
import type { CupState, CupTrack } from '../layers/cupTrack.ts';
import type { Vec3 } from '../vector.ts';
import { type FilmColumns, filmColumns } from './filmColumns.ts';
import { filmSqueeze } from './filmSqueeze.ts';
import { guessedSqueeze } from './guessedSqueeze.ts';
import { limbFilm } from './limbFilm.ts';
import type { LobeSetting } from './loadSetting.ts';
import { isPrinted, mouthPlan } from './mouthPlan.ts';
import type { LoadOpening } from './printedOpening.ts';
import { squeezeForce } from './squeezeForce.ts';

export interface SqueezeInput {
  readonly columns: ChamberColumns;
  readonly tracks: readonly CupTrack[];
  readonly openings: readonly LoadOpening[];
  /** Null where every limb is one void. */
  readonly lobes: LobeSetting | null;
  readonly layerHeight: number;
  /** N for 1 Pa·s and 1 m/s: what is under this is not worth solving for. */
  readonly leastForce: number;
  /** Pa for 1 Pa·s and 1 m/s: what is over this is capped whatever it is, and need not be solved for. */
  readonly mostPressure: number;
  /** Of earlier calls with the same columns, limbs and necks; added to. */
  readonly kept: KeptFilms;
}

/** Films by limb, layer and the mouths that are open there. */
export type KeptFilms = Map<string, SolvedFilm | null>;

interface SolvedFilm extends Omit<FilmFeed, 'mouthOf'> {
  readonly force: number;
  /** By place in `CupState.openings`; −1 where it is not printed. */
  readonly mouthOf: readonly number[];
}

/** The squeeze of a track by its states. */
export interface TrackSqueeze {
  /** N for 1 Pa·s and 1 m/s; NaN where it is not known or capped whatever it is: the mean depth is to be used. */
  readonly perSpeed: Float64Array;
  /** Null where it is not known, or no longer matters which mouth feeds what. */
  readonly feeds: (FilmFeed | null)[];
}

/** How the mouths of a limb's openings share its film, whatever the depth. */
export interface FilmFeed {
  /** The mouth of each opening that is printed, by its index. */
  readonly mouthOf: ReadonlyMap<number, number>;
  /** Share of the film's area that each mouth serves while all are at one pressure. */
  readonly share: Float64Array;
  /**
   * What flows through the film between two mouths, row by row, without dimension: times area² over the force
   * for 1 Pa·s and 1 m/s it is m³/s for 1 Pa and 1 Pa·s.
   */
  readonly exchange: Float64Array;
}

/** Limbs that never are this large are guessed at: their squeeze is soon gone. mm². */
const leastLimbMm2 = 50;
/** The film is solved for again when this many times as many layers have passed since the last change … */
const depthRatio = 1.5;
/** … or what is new of the floor squeezes by this much more than it did then. */
const freshRatio = 2;
/** Where the area grows by more than this from one layer to the next, limbs have met. */
const areaJump = 1.25;
/** Where it grows by this many times as much as in the layer before, a shelf has begun. */
const shelfGrowth = 3;
/** Films solved for in one part at most, the widest limbs first; the rest are guessed at. */
const mostFilms = 100;

/**
 * The squeeze of the resin between a hollow's floor and the film, by track; null for what is no chamber.
 *
 * Where the feed is, and why: a chamber's walls stand on the film all round while its layer parts from it, so
 * no resin comes in along the rim. It comes through the openings, as far as they are printed, and spreads from
 * their mouths over the local depth, which is what Reynolds' equation is solved for (`filmSqueeze.ts`): flat
 * and shallow floors far from every mouth pull harder than an open rim would let them (4·ln(R/a) − 3 times as
 * hard for one hole of radius a in the middle of a disc). The two ends of a neck count as one place: what it
 * takes is reckoned by the network (`lobeFlow.ts`). A limb that is sealed, or open through the sculpt at a
 * place not known here, has none. Limbs too small to be worth it, or that the columns do not show, are guessed
 * at from above (`guessedSqueeze.ts`).
 *
 * Solved at layers spaced by their number since the limb opened, got another opening or met another, or its
 * floor went on with something flatter, and between them interpolated on logarithms, exact for a power of the
 * depth. Once it is under `leastForce` it falls on with the cube of the mean depth until the floor goes on.
 */
export function localSqueeze(input: SqueezeInput, interrupter: Interrupter): (TrackSqueeze | null)[] {
  const squeezes = input.tracks.map(({ states, chamber }): TrackSqueeze | null =>
    chamber === null
      ? null
      : { perSpeed: new Float64Array(states.length).fill(Number.NaN), feeds: states.map(() => null) },
  );
  const limbs = input.tracks.flatMap((track, at) =>
    squeezes[at] === null ? [] : limbsOf(track, squeezes[at]!),
  );
  if (limbs.length === 0) return squeezes;
  limbs.sort((a, b) => b.widestMm2 - a.widestMm2);
  const columns = filmColumns(input.columns, input.layerHeight);
  let left = mostFilms;
  limbs.forEach((limb, at) => {
    interrupter(at / limbs.length);
    if (left > 0 && limb.widestMm2 >= leastLimbMm2) left -= solveLimb(limb, columns, input, left);
    for (let state = 0; state < limb.states.length; state++) guessAt(limb, state, input);
  });
  return squeezes;
}

/** The open states of one limb, in order. */
interface Limb {
  readonly chamber: number;
  readonly states: readonly CupState[];
  /** Place of each in the track. */
  readonly places: readonly number[];
  readonly squeeze: TrackSqueeze;
  readonly widestMm2: number;
}

function limbsOf(track: CupTrack, squeeze: TrackSqueeze): Limb[] {
  const limbs = new Map<number, { states: CupState[]; places: number[] }>();
  track.states.forEach((state, place) => {
    if (!state.joined || state.areaMm2 <= 0 || state.sculptedMm2 > 0) return;
    const limb = limbs.get(state.limb) ?? { states: [], places: [] };
    limbs.set(state.limb, limb);
    limb.states.push(state);
    limb.places.push(place);
  });
  return [...limbs.values()].map((limb) => ({
    ...limb,
    chamber: track.chamber!,
    squeeze,
    widestMm2: limb.states.reduce((most, { areaMm2 }) => Math.max(most, areaMm2), 0),
  }));
}

interface Solved {
  readonly at: number;
  readonly force: number;
  readonly feed: FilmFeed;
}

/** Fills in what a limb's states squeeze; returns how many films that took. */
function solveLimb(limb: Limb, columns: FilmColumns, input: SqueezeInput, most: number): number {
  const seed = seedOf(limb, columns);
  if (seed === null) return 0;
  const { states } = limb;
  let films = 0;
  let settled: Solved | null = null;
  for (const { from, to, isEased } of stretches(states, input)) {
    const depthOf = (at: number): number => states[at]!.layer + 1 - states[from]!.layer;
    let before: Solved | null = isEased ? settled : null;
    let next = before === null ? from : nextFresh(states, from, to, 0, input);
    for (let at = next; at < to && films < most; at = next) {
      next = at + 1;
      if (isCapped(states[at]!, input)) continue;
      const now = solvedAt(states, at, seed, columns, input);
      films++;
      if (before !== null) setUpTo(limb, before, now ?? before, from, at, depthOf);
      before = now;
      if (now === null) continue;
      setOne(limb, now.at, now.force, now.feed);
      const fresh = freshForce(states, at, input.layerHeight);
      if (now.force < input.leastForce) {
        next = nextFresh(states, at + 1, to, fresh, input);
        continue;
      }
      while (next < to && depthOf(next) < depthRatio * depthOf(at)) {
        if (freshForce(states, next, input.layerHeight) > freshRatio * Math.max(fresh, input.leastForce))
          break;
        next++;
      }
      if (next === to && at < to - 1) next = to - 1;
    }
    if (before !== null) setAfter(limb, before, Math.max(from, before.at + 1), to);
    settled = before !== null && before.force < input.leastForce ? before : null;
  }
  return films;
}

const meanDepth = ({ volumeMm3, areaMm2 }: CupState): number => volumeMm3 / areaMm2;

/** The first state from which what is new of the floor squeezes by more than it did. */
function nextFresh(
  states: readonly CupState[],
  from: number,
  to: number,
  before: number,
  { leastForce, layerHeight }: SqueezeInput,
): number {
  let at = from;
  const least = freshRatio * Math.max(before, leastForce);
  while (at < to && freshForce(states, at, layerHeight) <= least) at++;
  return at;
}

/**
 * About what the floor that is new in this layer squeezes while it goes on as steeply, N for 1 Pa·s and 1 m/s: a
 * wedge fed along its deep side, 12·L·(w/h)³·(ln n − 1) with w of new floor in each of n layers of h along L;
 * taken along a quarter of the rim of an equal disc, after 50 layers.
 */
function freshForce(states: readonly CupState[], at: number, layerHeight: number): number {
  if (at === 0) return 0;
  const grown = Math.max(0, states[at]!.areaMm2 - states[at - 1]!.areaMm2);
  const length = Math.sqrt(4 * Math.PI * states[at]!.areaMm2) / 4;
  const layers = states[at]!.layer - states[at - 1]!.layer;
  return 12e-3 * length * (grown / (layers * length * layerHeight)) ** 3 * (Math.log(50) - 1);
}

/** Whether even an open rim at the limb's greatest depth would take all that the atmosphere gives. */
function isCapped(
  { areaMm2, layer, floorLayer }: CupState,
  { layerHeight, mostPressure }: SqueezeInput,
): boolean {
  const area = areaMm2 * 1e-6;
  return squeezeForce(area, 1, 1, (layer + 1 - floorLayer) * layerHeight * 1e-3) >= mostPressure * area;
}

/** States from … to − 1 of a limb between which nothing changes of a sudden. */
interface Stretch {
  readonly from: number;
  readonly to: number;
  /** It only has more openings than the one before. */
  readonly isEased: boolean;
}

function stretches(states: readonly CupState[], input: SqueezeInput): Stretch[] {
  const found: Stretch[] = [];
  let from = 0;
  let isEased = false;
  for (let at = 1; at <= states.length; at++) {
    const isLast = at === states.length;
    const changes = !isLast && states[at]!.openings.join() !== states[at - 1]!.openings.join();
    const jumps = !isLast && (areaJumps(states, at) || (at - 1 > from && floorEnds(states, at, input)));
    if (!isLast && !changes && !jumps) continue;
    found.push({ from, to: at, isEased });
    from = at;
    isEased = !jumps && (states[at - 1]?.openings ?? []).every((one) => states[at]?.openings.includes(one));
  }
  return found;
}

/** A floor that went on flat enough to matter is whole: from here on all of it deepens. */
function floorEnds(
  states: readonly CupState[],
  at: number,
  { layerHeight, leastForce }: SqueezeInput,
): boolean {
  const before = freshForce(states, at - 1, layerHeight);
  return before > freshRatio * leastForce && freshForce(states, at, layerHeight) * shelfGrowth ** 3 < before;
}

/**
 * Limbs have met, or a floor has begun: a shelf grows by far more in its first layer than what is around it.
 * Where the area shrinks nothing shallow begins.
 */
function areaJumps(states: readonly CupState[], at: number): boolean {
  const [before, now] = [states[at - 1]!.areaMm2, states[at]!.areaMm2];
  const usual = at > 1 ? Math.abs(before - states[at - 2]!.areaMm2) : 0;
  const isShelf = now - before > Math.max(leastLimbMm2, shelfGrowth * usual);
  return isShelf || now > areaJump * before;
}

function setOne({ places, squeeze }: Limb, at: number, force: number, feed: FilmFeed | null): void {
  squeeze.perSpeed[places[at]!] = force;
  squeeze.feeds[places[at]!] = feed;
}

/** The states between two that are solved for; the first may lie before the stretch that begins at `from`. */
function setUpTo(
  limb: Limb,
  before: Solved,
  now: Solved,
  from: number,
  to: number,
  depthOf: (at: number) => number,
): void {
  if (before.at < from || now === before) {
    setAfter(limb, before, Math.max(from, before.at + 1), to);
    return;
  }
  const power = Math.log(now.force / before.force) / Math.log(depthOf(now.at) / depthOf(before.at));
  for (let at = before.at + 1; at < to; at++) {
    setOne(limb, at, before.force * (depthOf(at) / depthOf(before.at)) ** power, before.feed);
  }
}

/** It falls with the cube of the mean depth; which mouth feeds what no longer matters where it is small. */
function setAfter(limb: Limb, last: Solved, from: number, to: number): void {
  const depth = meanDepth(limb.states[last.at]!);
  for (let at = from; at < to; at++) {
    setOne(limb, at, last.force * Math.min(1, (depth / meanDepth(limb.states[at]!)) ** 3), null);
  }
}

/** Where nothing is known of an open state and it counts: as a level floor fed through its widest mouth only. */
function guessAt({ states, places, squeeze }: Limb, at: number, input: SqueezeInput): void {
  const { openings, layerHeight, leastForce } = input;
  const place = places[at]!;
  if (!Number.isNaN(squeeze.perSpeed[place]!) || isCapped(states[at]!, input)) return;
  const state = states[at]!;
  const area = state.areaMm2 * 1e-6;
  const depth = Math.max(meanDepth(state), layerHeight) * 1e-3;
  const film = (state.layer + 1) * layerHeight;
  if (guessedSqueeze(area, depth, 1e-4) < leastForce) return;
  const mouths = state.openings.map((opening) => mouthPlan(openings[opening]!));
  const radius = Math.max(0, ...mouths.map((mouth) => (isPrinted(mouth, film) ? mouth.planRadius(film) : 0)));
  if (radius > 0) squeeze.perSpeed[place] = guessedSqueeze(area, depth, radius * 1e-3);
}

function solvedAt(
  states: readonly CupState[],
  at: number,
  seed: Seed,
  columns: FilmColumns,
  input: SqueezeInput,
): Solved | null {
  const state = states[at]!;
  const bores = state.openings.map((opening) => input.openings[opening]!);
  const key = JSON.stringify([state.limb, state.layer, bores.map(geometryOf)]);
  const film = input.kept.has(key)
    ? input.kept.get(key)!
    : solvedFilm(state, bores, seed, columns, input.lobes);
  input.kept.set(key, film);
  if (film === null) return null;
  const { force, share, exchange } = film;
  const mouthOf = new Map<number, number>();
  state.openings.forEach((opening, place) => {
    if (film.mouthOf[place]! >= 0) mouthOf.set(opening, film.mouthOf[place]!);
  });
  return { at, force, feed: { mouthOf, share, exchange } };
}

const geometryOf = ({ chamberDepthMm, placed: { mouth, axis, radius, depth } }: LoadOpening): unknown => [
  chamberDepthMm,
  mouth,
  axis,
  radius,
  depth,
];

function solvedFilm(
  { layer, areaMm2 }: CupState,
  bores: readonly LoadOpening[],
  seed: Seed,
  columns: FilmColumns,
  lobes: LobeSetting | null,
): SolvedFilm | null {
  const found = limbFilm(columns, {
    layer,
    seed: seed.run,
    seedColumn: seed.column,
    areaMm2,
    mouths: bores.map(mouthPlan),
    necks: lobes === null ? [] : lobes.limbs.necks.map(({ ends }): readonly [Vec3, Vec3] => ends),
  });
  const squeezed = found && filmSqueeze(found.film);
  if (!squeezed || !(squeezed.force > 0)) return null;
  const { force, catchment, exchange } = squeezed;
  const area = areaMm2 * 1e-6;
  return {
    force,
    mouthOf: found.mouthOf,
    share: catchment.map((served) => served / area),
    exchange: exchange.map((flow) => (flow * force) / (area * area)),
  };
}

interface Seed {
  readonly run: number;
  readonly column: number;
}

/** The run of the limb's chamber whose floor lies nearest to where the limb starts; heights weigh most. */
function seedOf({ chamber, states }: Limb, columns: FilmColumns): Seed | null {
  const { x0, y0, spacing, nx, start, low, chamber: chamberOf, layerHeight } = columns;
  const { floorAt, floorLayer } = states[0]!;
  let least = Infinity;
  let seed: Seed | null = null;
  for (let column = 0; column + 1 < start.length; column++) {
    if (start[column] === start[column + 1]) continue;
    const x = x0 + ((column % nx) + 0.5) * spacing - floorAt[0];
    const y = y0 + (Math.floor(column / nx) + 0.5) * spacing - floorAt[1];
    const away = Math.sqrt(x * x + y * y);
    if (away >= least) continue;
    for (let run = start[column]!; run < start[column + 1]!; run++) {
      if (chamberOf[run] !== chamber) continue;
      const height = Math.abs(low[run]! - floorLayer * layerHeight);
      if (away + heightWeight * height >= least) continue;
      least = away + heightWeight * height;
      seed = { run, column };
    }
  }
  return seed;
}

const heightWeight = 4;
