import { diametersMm } from '../openings/diameters.ts';
import { isApart } from '../openings/isApart.ts';
import type { OpeningDecision, OpeningFacts, OpeningKind } from '../openings/opening.ts';
import { norm, subtract, type Vec3 } from '../vector.ts';
import type { Choice } from './choice.ts';
import type { Need } from './need.ts';
import type { OpeningSite } from './openingSites.ts';
import { apart, drainSites, nearestSites, ventSites } from './siteOrder.ts';

const LEAST_VENT_MM = 4;
/** A chamber no deeper than this behind the mouth is drilled half through, mm. */
const NARROW_MM = 4;
const SITES_TRIED = 8;
const SITES_LOOKED_AT = 24;
const TIGHT_TRIED = 3;
/** Most slanted bores run along some wall. */
const SLANTED_LOOKED_AT = 2000;
const SLANTED_TRIED = 4;
const MOVES_TRIED = 3;
const WHERE_IT_STARTS = 'where the hollow starts';
/** What a bore goes beyond the point where the chamber starts, mm. */
const BEYOND_MM = 2;

/** What moves are made from. */
export interface Board {
  readonly choices: readonly Choice[];
  /** As measured, in the order of the choices. */
  readonly measured: readonly OpeningFacts[];
  readonly sites: readonly OpeningSite[];
  /** Others, for the limb that starts there. */
  readonly slanted: (start: Vec3) => readonly OpeningSite[];
  /** Print frame → source coordinates, rounded as the manifest has them. */
  readonly toSource: (at: Vec3) => Vec3;
  /** The same of a direction. */
  readonly towardSource: (direction: Vec3) => Vec3;
  /** Whether nothing is wrong with an opening by itself. */
  readonly fits: (decision: OpeningDecision) => boolean;
  /** Whether its bore keeps off the lights. */
  readonly offLights: (decision: OpeningDecision) => boolean;
}

/** Sets of openings that may answer the need, each a small change of the present one that keeps off the lights. */
export function movesFor(need: Need, board: Board): Choice[][] {
  return anyMovesFor(need, board).filter((choices) =>
    choices.every((choice) => board.choices.includes(choice) || board.offLights(choice.decision)),
  );
}

function anyMovesFor(need: Need, board: Board): Choice[][] {
  switch (need.kind) {
    case 'vent':
      return [...widened(need, board), ...newVents(need, board)];
    case 'through':
      return newWays(need, board);
    case 'drain':
      return newDrains(need, board);
    case 'hole':
      return newHoles(need, board);
    case 'mend':
      return mended(need.opening, board);
  }
}

function widened({ diameterMm, limiting }: Extract<Need, { kind: 'vent' }>, { choices }: Board): Choice[][] {
  const index = choices.findIndex(({ decision }) => decision.id === limiting);
  const now = choices[index]?.decision.diameter ?? Infinity;
  const wider = diametersMm.find((size) => size > now && size >= (diameterMm ?? 0));
  return wider === undefined ? [] : [changed(choices, index, { diameter: wider }, `${now} → ${wider} mm`)];
}

function newVents(need: Extract<Need, { kind: 'vent' }>, board: Board): Choice[][] {
  const least = Math.max(LEAST_VENT_MM, need.diameterMm ?? 0);
  const wide = diametersMm.find((size) => size >= least) ?? diametersMm.at(-1)!;
  const own = ventSites(freeSites(board, wide), need.chamber, need.start, wide / 2);
  return widest(board, 'vent', own, wide, WHERE_IT_STARTS);
}

/** Sets with the narrowest of vents at a slant, for a limb that has no room for a bore straight in; none for other needs. */
export function slantedMovesFor(need: Need, board: Board): Choice[][] {
  if (need.kind !== 'vent') return [];
  const { start, chamber } = need;
  const narrowest = diametersMm[0];
  const sites = freeSites({ ...board, sites: board.slanted(start) }, narrowest);
  const tried: Choice[][] = [];
  for (const site of ventSites(sites, chamber, start, narrowest / 2).slice(0, SLANTED_LOOKED_AT)) {
    if (tried.length === SLANTED_TRIED) break;
    const choice = newChoice('vent', site, narrowest, `${WHERE_IT_STARTS}, at a slant`, board);
    if (board.fits(choice.decision) && board.offLights(choice.decision))
      tried.push([...board.choices, choice]);
  }
  return tried;
}

function newWays({ start }: Extract<Need, { kind: 'through' }>, board: Board): Choice[][] {
  const sites = nearestSites(freeSites(board, LEAST_VENT_MM), null, start);
  return widest(board, 'vent', sites, LEAST_VENT_MM, 'through the floor of a cup that the sculpt makes');
}

function newDrains({ chamber, leastMm }: Extract<Need, { kind: 'drain' }>, board: Board): Choice[][] {
  const place = 'where resin gathers as the part hangs';
  return noNarrower(
    widest(board, 'drain', drainSites(freeSites(board, leastMm), chamber), leastMm, place),
    leastMm,
    'the narrowest that empties it in five minutes',
  );
}

const purposes = {
  empty: ['where liquid would stay in the wash', 'the narrowest that lets it out'],
  rinse: ['at the end that a rinse does not get to', 'the narrowest that a rinse flows well through'],
  cure: ['at the end that no lamp lights', 'the narrowest that the lamp goes through'],
} as const;

function newHoles(need: Extract<Need, { kind: 'hole' }>, board: Board): Choice[][] {
  const [place, why] = purposes[need.purpose];
  const wide = diametersMm.find((size) => size >= need.leastMm) ?? diametersMm.at(-1)!;
  const sites = nearestSites(freeSites(board, wide), need.chamber, need.near);
  return noNarrower(widest(board, 'drain', sites, wide, place), wide, why);
}

const noNarrower = (sets: readonly Choice[][], mm: number, why: string): Choice[][] =>
  sets.map((choices) => choices.with(-1, { ...choices.at(-1)!, least: { mm, why } }));

/**
 * The first sites where a bore of `wide` fits or, where none does, a narrower one; behind them a few of the
 * best where none fits well: in a corner a bore along a wall is better than a limb that stays sealed.
 */
function widest(
  board: Board,
  kind: OpeningKind,
  sites: readonly OpeningSite[],
  wide: number,
  place: string,
): Choice[][] {
  const added: Choice[] = [];
  for (const diameter of diametersMm.filter((size) => size <= wide).reverse()) {
    for (const site of apart(sites, SITES_LOOKED_AT)) {
      const choice = newChoice(kind, site, diameter, place, board);
      const { decision } = choice;
      if (added.length < SITES_TRIED && board.fits(decision) && board.offLights(decision)) added.push(choice);
    }
    if (added.length > 0) break;
  }
  const tight = sites
    .slice(0, TIGHT_TRIED)
    .map((site) => newChoice(kind, site, diametersMm[0], place, board));
  return [...added, ...tight].map((choice) => [...board.choices, choice]);
}

/** Sites that leave something standing between a bore there and those that there are. */
function freeSites({ sites, measured }: Board, diameter: number): OpeningSite[] {
  const bores = measured.flatMap(({ placed }) => placed ?? []);
  return sites.filter(({ mouth }) => isApart(mouth, diameter / 2, bores));
}

function newChoice(
  kind: OpeningKind,
  site: OpeningSite,
  diameter: number,
  place: string,
  { toSource, towardSource }: Board,
): Choice {
  const cover = site.coveredBy === null ? '' : `, on the face that ${site.coveredBy} will cover`;
  const wallMm = norm(subtract(site.entry, site.mouth));
  // Where the far wall is near, the usual depth would bite into it.
  const depth = site.roomMm > NARROW_MM ? {} : { depth: Math.floor(10 * (wallMm + site.roomMm / 2)) / 10 };
  return {
    decision: {
      id: '',
      kind,
      at: toSource(site.mouth),
      diameter,
      ...depth,
      ...(site.toward && { toward: towardSource(site.toward) }),
    },
    was: null,
    changes: [],
    place: place + cover,
  };
}

/** Drilled less or further, made narrower, moved to the nearest place that is good, or left out. */
function mended(opening: string, { choices, measured, sites, toSource }: Board): Choice[][] {
  const index = choices.findIndex(({ decision }) => decision.id === opening);
  const choice = choices[index];
  const facts = measured[index];
  if (choice === undefined || facts === undefined) return [];
  const moves: Choice[][] = [];
  const { chamberDepthMm, sideClearanceMm, placed } = facts;
  if (chamberDepthMm !== null) {
    const depth = Math.ceil(2 * (chamberDepthMm + BEYOND_MM)) / 2;
    moves.push(changed(choices, index, { depth }, `drilled ${depth} mm deep`));
  }
  if (placed !== null && sideClearanceMm !== null && sideClearanceMm < placed.radius) {
    const narrower = diametersMm.findLast((size) => size <= 2 * sideClearanceMm);
    if (narrower !== undefined) {
      moves.push(changed(choices, index, { diameter: narrower }, `${2 * placed.radius} → ${narrower} mm`));
    }
  }
  const nearest = apart(nearestSites(sites, facts.chamber, placed?.mouth ?? facts.asked), MOVES_TRIED);
  for (const site of nearest) {
    const { id, kind, diameter } = choice.decision;
    const moved: Choice = {
      ...choice,
      decision: { id, kind, diameter, at: toSource(site.mouth) },
      changes: [...choice.changes, 'moved to the nearest place where it reaches the hollow'],
    };
    moves.push(choices.with(index, moved));
  }
  moves.push(choices.filter((_, at) => at !== index));
  return moves;
}

function changed(
  choices: readonly Choice[],
  index: number,
  values: { readonly diameter?: number; readonly depth?: number },
  change: string,
): Choice[] {
  const choice = choices[index]!;
  return choices.with(index, {
    ...choice,
    decision: { ...choice.decision, ...values },
    changes: choice.was === null ? choice.changes : [...choice.changes, change],
  });
}
