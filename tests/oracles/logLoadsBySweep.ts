import type { Interrupter } from '../../src/core/interrupter.ts';
import { growableFloats } from '../../src/core/layers/growable.ts';
import { intervalSets, labelIntervals, layerIntervals } from '../../src/core/layers/labelIntervals.ts';
import { overhangOfRow, rowWidths, selfSupportReach } from '../../src/core/layers/overhangs.ts';
import { findRun } from '../../src/core/rays/findRun.ts';
import { rowY } from '../../src/core/rays/lattice.ts';
import { type LayerRows, type RunsByLayer, rowsOfLayer } from '../../src/core/rays/runsByLayer.ts';
import { type ContactGrid, contactGrid } from '../../src/core/supports/contactGrid.ts';
import type { Contact, Unreached } from '../../src/core/supports/loadLog.ts';
import {
  type Piece,
  type PieceLayer as Pieces,
  pieceOfRun,
  pieceSweep,
} from '../../src/core/supports/pieceSweep.ts';
import type { Route } from '../../src/core/supports/routeStrut.ts';
import type { SupportedSolid } from '../../src/core/supports/supportedSolid.ts';
import type { SupportSetting } from '../../src/core/supports/supportSetting.ts';
import type { Vec3 } from '../../src/core/vector.ts';

/**
 * Degrees from the plate from which a print bureau's SLA guide has surface carry itself. Where a strut would stand on
 * the part, inside as a rule, and stay there, only what is flatter is held.
 */
const FLAT_DEG = 19;
/** A place that was refused speaks for those as near as this part of the spacing. */
const REFUSED_WITHIN = 0.25;
/** A sliver of overhang that no neighbouring row has too is the lattice's own, unless it is this long, mm. */
const SURE_RUN_MM = 0.5;
/** A support placed by hand this many layers above a start still holds it. */
const START_LAYERS = 2;

interface PieceLayer extends Pieces {
  readonly solid: LayerRows;
  readonly below: LayerRows | null;
  pieceOfRun(row: number, run: number): number;
}

function* sweep(solid: RunsByLayer, xLow: number, xHigh: number): Generator<PieceLayer> {
  for (const one of pieceSweep(solid, xLow, xHigh)) {
    const here = rowsOfLayer(solid, one.layer);
    const labels = layerIntervals();
    labelIntervals(here, solid.lattice.rows, xLow, xHigh, intervalSets(), labels);
    const below = one.layer === 0 ? null : rowsOfLayer(solid, one.layer - 1);
    yield { ...one, solid: here, below, pieceOfRun: (row, run) => pieceOfRun(here, labels, row, run) };
  }
}

/** Solid of one layer that hangs together with what is printed below it. */
interface BodyLoad {
  /** Number of the body; after a merge the lower one goes on. */
  readonly body: number;
  readonly areaMm2: number;
  /** Middle of that area, mm. */
  readonly x: number;
  readonly y: number;
}

/**
 * What happens to the bodies of a print in one layer, in this order: bodies become one, contacts begin to hold
 * them, the film pulls on them.
 */
export interface LayerStep {
  readonly merges: readonly (readonly [into: number, from: number])[];
  /** Numbers of contacts, with the body of each. */
  readonly contacts: readonly (readonly [contact: number, body: number])[];
  readonly loads: readonly BodyLoad[];
}

/** The loads of a print and the contacts that are to hold it. */
export interface LoadLog {
  readonly bodies: number;
  readonly steps: readonly LayerStep[];
  readonly layerHeight: number;
  readonly onPlate: boolean;
  readonly contacts: readonly Contact[];
  readonly unreached: readonly Unreached[];
  readonly wayless: readonly number[];
}

/** The part as it grows: which piece of a layer belongs to which body, and where bodies without contacts began. */
interface Growth {
  readonly contacts: Contact[];
  readonly unreached: Unreached[];
  readonly wayless: number[];
  readonly grid: ContactGrid;
  /** Places under an overhang that cannot be held, or need not be. */
  readonly refused: ContactGrid;
  /** By body: where it would be held that nothing holds yet; null where something does. */
  readonly wanting: (Vec3 | null)[];
  readonly startLayer: number[];
  /** By piece of the layer. */
  bodies: number[];
  /** By body: the one it has become part of; itself while it has not. */
  readonly into: number[];
}

/** What is asked of a place before a contact stands there. */
interface ContactPlaces {
  /** Whether it is show side. */
  isShown(at: Vec3): boolean;
  /** The way of a strut from there; null where there is none. */
  routeFrom(at: Vec3, isStart: boolean): Route | null;
  /** Whether the builder keeps it free of planned tips. */
  isKeptFree(at: Vec3): boolean;
  /** Supports that stand whatever is planned. */
  readonly byHand: readonly SettledContact[];
}

/** A support placed by hand, settled on the underside that it holds. */
interface SettledContact extends Pick<Contact, 'at' | 'layer' | 'leastMm'> {
  readonly byHand: number;
}

/**
 * The slower twin of `growPart`, `findHanging` and `chooseContacts`: everything in one sweep, layer by layer.
 *
 * Sweeps a part from the plate up: how its pieces join into bodies, what each layer of each pulls, and where
 * contacts are to hold them. A body that starts in air gets one where it starts, once a layer of it is as large as
 * the least region that counts; overhangs get them no further from each other than the spacing, the first where
 * they come first. On the show side a contact stands only where none beside it would do. What the builder has placed
 * himself stands first, and planned contacts keep their distance from it.
 */
export function logLoads(
  { solid, xLow, xHigh }: SupportedSolid,
  setting: SupportSetting,
  places: ContactPlaces,
  interrupter: Interrupter,
): LoadLog {
  const { lattice } = solid;
  const growth: Growth = {
    contacts: [],
    unreached: [],
    wayless: [],
    grid: contactGrid(setting.spacingMm),
    refused: contactGrid(REFUSED_WITHIN * setting.spacingMm),
    wanting: [],
    startLayer: [],
    bodies: [],
    into: [],
  };
  const hangs = overhangFinder(solid, setting.selfSupportDeg);
  const isFlat = flatFinder(solid);
  const steps: LayerStep[] = [];
  let onPlate = false;
  for (const layer of sweep(solid, xLow, xHigh)) {
    if (layer.layer % 16 === 0) interrupter(layer.layer / lattice.layers);
    const merges = joinBodies(growth, layer, solid);
    if (layer.layer === 0 && layer.pieces.length > 0) onPlate = true;
    const before = growth.contacts.length;
    const owners = [
      ...holdByHand(growth, layer, solid, places),
      ...holdStarts(growth, layer, setting, places),
      ...holdOverhangs(growth, layer, hangs(layer), isFlat, solid, setting, places),
    ];
    const contacts = owners.map((body, n) => [before + n, body] as const);
    steps.push({
      merges,
      contacts,
      loads: loadsOf(layer.pieces, growth.bodies, layer.layer === 0 ? 0 : setting.leastMm2),
    });
  }
  const { contacts, unreached, wayless, wanting } = growth;
  return { contacts, unreached, wayless, bodies: wanting.length, steps, layerHeight: lattice.dz, onPlate };
}

function bodyNow({ into }: Growth, body: number): number {
  let at = body;
  while (into[at] !== at) at = into[at]!;
  return at;
}

/** Gives each piece its body: that of what it rests on, the lowest where it joins several, or a new one. */
function joinBodies(growth: Growth, layer: PieceLayer, { lattice }: RunsByLayer): LayerStep['merges'] {
  const merges: [number, number][] = [];
  const now = (body: number): number => bodyNow(growth, body);
  for (const { below } of layer.pieces) {
    const met = [...new Set([...below].map((piece) => now(growth.bodies[piece]!)))].sort((a, b) => a - b);
    for (const other of met.slice(1)) {
      merges.push([met[0]!, other]);
      growth.into[other] = met[0]!;
      // Held is held, whichever of the two it was.
      if (growth.wanting[other] === null) growth.wanting[met[0]!] = null;
    }
  }
  growth.bodies = layer.pieces.map(({ below }, piece) => {
    for (const under of below) return now(growth.bodies[under]!);
    const z = lattice.z0 + layer.layer * lattice.dz;
    growth.startLayer.push(layer.layer);
    growth.into.push(growth.into.length);
    // The plate holds what starts on it.
    return growth.wanting.push(layer.layer === 0 ? null : [...layer.placeIn(piece), z]) - 1;
  });
  return merges;
}

function* holdByHand(
  growth: Growth,
  at: PieceLayer,
  { lattice }: RunsByLayer,
  { isShown, routeFrom, byHand }: ContactPlaces,
): Generator<number> {
  for (const settled of byHand) {
    if (settled.layer !== at.layer) continue;
    const row = Math.floor((settled.at[1] - lattice.y0) / lattice.dy);
    const run = findRun(at.solid, at.solid.base + row, settled.at[0]);
    const body = growth.bodies[at.pieceOfRun(row, run)]!;
    const route = routeFrom(settled.at, true);
    if (route === null) {
      growth.wayless.push(settled.byHand);
      continue;
    }
    // Further up it holds what has already hung in the air.
    const isStart = growth.wanting[body] !== null && at.layer - growth.startLayer[body]! <= START_LAYERS;
    if (isStart) growth.wanting[body] = null;
    growth.grid.add(settled.at, body);
    growth.contacts.push({ ...settled, isStart, onShow: marksShow(settled.at, route, isShown), route });
    yield body;
  }
}

function* holdStarts(
  growth: Growth,
  { pieces, layer }: PieceLayer,
  { leastMm2, tipMm }: SupportSetting,
  { isShown, routeFrom, isKeptFree }: ContactPlaces,
): Generator<number> {
  for (const [n, { areaMm2 }] of pieces.entries()) {
    const body = growth.bodies[n]!;
    const at = growth.wanting[body] ?? null;
    if (at === null || areaMm2 < leastMm2) continue;
    growth.wanting[body] = null;
    const start = { at, layer: Math.min(layer, growth.startLayer[body]!) };
    const keptFree = isKeptFree(at);
    const route = keptFree ? null : routeFrom(at, true);
    if (route === null) {
      growth.unreached.push({ ...start, keptFree });
      continue;
    }
    growth.grid.add(at, body);
    const onShow = marksShow(at, route, isShown);
    growth.contacts.push({ ...start, isStart: true, onShow, byHand: null, leastMm: tipMm, route });
    yield body;
  }
}

/** A run of overhang. */
interface HangingRun {
  readonly row: number;
  readonly low: number;
  readonly high: number;
}

function overhangFinder({ lattice }: RunsByLayer, selfSupportDeg: number) {
  const reach = selfSupportReach(lattice.dz, selfSupportDeg);
  const widths = Number.isFinite(reach) ? rowWidths(reach, lattice.dy, lattice.rows) : null;
  const runs = growableFloats();
  const carried = growableFloats();
  return ({ solid, below }: PieceLayer): HangingRun[] => {
    if (below === null || widths === null) return [];
    const found: HangingRun[][] = [];
    for (let row = 0; row < lattice.rows; row++) {
      runs.length = 0;
      overhangOfRow(solid, below, lattice.rows, row, widths, carried, runs);
      const own: HangingRun[] = [];
      for (let i = 0; i < runs.length; i += 2)
        own.push({ row, low: runs.values[i]!, high: runs.values[i + 1]! });
      found.push(own);
    }
    return found.flatMap((own, row) =>
      own.filter(
        (run) =>
          run.high - run.low >= SURE_RUN_MM || isBeside(run, found[row - 1]) || isBeside(run, found[row + 1]),
      ),
    );
  };
}

/** Whether a place hangs over more than the flattest surface that carries itself. */
function flatFinder({ lattice }: RunsByLayer) {
  const widths = rowWidths(selfSupportReach(lattice.dz, FLAT_DEG), lattice.dy, lattice.rows);
  const runs = growableFloats();
  const carried = growableFloats();
  return ({ solid, below }: PieceLayer, row: number, x: number): boolean => {
    if (below === null) return false;
    runs.length = 0;
    overhangOfRow(solid, below, lattice.rows, row, widths, carried, runs);
    for (let i = 0; i < runs.length; i += 2)
      if (runs.values[i]! <= x && x <= runs.values[i + 1]!) return true;
    return false;
  };
}

const isBeside = ({ low, high }: HangingRun, others: readonly HangingRun[] = []): boolean =>
  others.some((other) => other.low < high && low < other.high);

function holdOverhangs(
  growth: Growth,
  at: PieceLayer,
  runs: readonly HangingRun[],
  isFlat: ReturnType<typeof flatFinder>,
  { lattice }: RunsByLayer,
  { tipMm, spacingMm }: SupportSetting,
  { isShown, routeFrom, isKeptFree }: ContactPlaces,
): number[] {
  const z = lattice.z0 + at.layer * lattice.dz;
  const owners: number[] = [];
  const { contacts, grid, refused, bodies, wanting } = growth;
  const bodyOver = (place: Vec3, row: number): number => {
    const run = findRun(at.solid, at.solid.base + row, place[0]);
    return run < 0 ? -1 : bodies[at.pieceOfRun(row, run)]!;
  };
  const isTaken = (place: Vec3, row: number): boolean => {
    // A tip under another body does not hold this one. Asked only where a tip is near.
    const counts = (body: number): boolean => bodyNow(growth, body) === bodyOver(place, row);
    return grid.isNear(place, counts) || refused.isNear(place, () => true);
  };
  const hold = (place: Vec3, row: number): void => {
    const body = bodyOver(place, row);
    // One that is not held yet waits for its start to be large enough to count.
    if (body < 0 || wanting[body] !== null) return;
    const route = routeFrom(place, false);
    if (route === null || (route.stands === 'part' && !isFlat(at, row, place[0]))) {
      refused.add(place, body);
      return;
    }
    grid.add(place, body);
    const onShow = marksShow(place, route, isShown);
    contacts.push({
      at: place,
      layer: at.layer,
      isStart: false,
      onShow,
      byHand: null,
      leastMm: tipMm,
      route,
    });
    owners.push(body);
  };
  const shown: { place: Vec3; row: number }[] = [];
  for (const { row, low, high } of runs) {
    for (const x of placesAlong(low, high, tipMm, spacingMm)) {
      const place: Vec3 = [x, rowY(lattice, row), z];
      if (isTaken(place, row) || isKeptFree(place)) continue;
      if (isShown(place)) shown.push({ place, row });
      else hold(place, row);
    }
  }
  for (const { place, row } of shown) if (!isTaken(place, row)) hold(place, row);
  return owners;
}

/** A strut that stands on the part marks it there as its tip does. */
function marksShow(at: Vec3, { line, stands }: Route, isShown: ContactPlaces['isShown']): boolean {
  return isShown(at) || (stands === 'part' && isShown(line.at(-1)!));
}

/** The middle of a short run; along a longer one both ends, half a tip in, and between them evenly. */
function placesAlong(low: number, high: number, tipMm: number, spacingMm: number): number[] {
  const length = high - low - tipMm;
  if (length <= 0) return [(low + high) / 2];
  const gaps = Math.max(1, Math.floor(length / spacingMm));
  return Array.from({ length: gaps + 1 }, (_, n) => low + tipMm / 2 + (length * n) / gaps);
}

/** Pieces of one body pull as one. */
function loadsOf(pieces: readonly Piece[], bodies: readonly number[], leastMm2: number): BodyLoad[] {
  const sums = new Map<number, { areaMm2: number; x: number; y: number }>();
  for (const [n, { areaMm2, x, y }] of pieces.entries()) {
    const sum = sums.get(bodies[n]!) ?? { areaMm2: 0, x: 0, y: 0 };
    sums.set(bodies[n]!, {
      areaMm2: sum.areaMm2 + areaMm2,
      x: sum.x + areaMm2 * x,
      y: sum.y + areaMm2 * y,
    });
  }
  return [...sums]
    .filter(([, { areaMm2 }]) => areaMm2 >= leastMm2)
    .map(([body, { areaMm2, x, y }]) => ({ body, areaMm2, x: x / areaMm2, y: y / areaMm2 }));
}
