import type { Interrupter } from '../interrupter.ts';
import { growableFloats } from '../layers/growable.ts';
import { overhangOfRow, rowWidths, selfSupportReach } from '../layers/overhangs.ts';
import { rowY } from '../rays/lattice.ts';
import { type RunsByLayer, rowsOfLayer } from '../rays/runsByLayer.ts';
import { findRoot } from '../unionFind.ts';
import type { Vec3 } from '../vector.ts';
import { type ContactGrid, contactGrid } from './contactGrid.ts';
import type { HangingRuns } from './hangingRuns.ts';
import type { ChosenContacts, Contact, OffPlate, Unreached } from './loadLog.ts';
import type { PartGrowth } from './partGrowth.ts';
import type { Route } from './routeStrut.ts';
import type { SupportSetting } from './supportSetting.ts';

/**
 * Degrees from the plate from which a print bureau's SLA guide has surface carry itself. Where a strut would stand on
 * the part, inside as a rule, and stay there, only what is flatter is held.
 */
const FLAT_DEG = 19;
/** A place that was refused speaks for those as near as this part of the spacing. */
const REFUSED_WITHIN = 0.25;
/** A support placed by hand this many layers above a start still holds it. */
const START_LAYERS = 2;
const LAYERS_PER_CALL = 16;

/** What was found for a strut from some place. */
export interface SoughtWay {
  /** Null where there is none. */
  readonly route: Route | null;
  /** Where its foot would stand if the plate had no end, as far as that was looked at; null where it would not either. */
  readonly offPlate: Vec3 | null;
}

/** What is asked of a place before a contact stands there. */
export interface ContactPlaces {
  /** Whether it is show side. */
  isShown(at: Vec3): boolean;
  wayFrom(at: Vec3, isStart: boolean): SoughtWay;
  /** Whether the builder keeps it free of planned tips. */
  isKeptFree(at: Vec3): boolean;
  /** Supports that stand whatever is planned. */
  readonly byHand: readonly SettledContact[];
}

/** A support placed by hand, settled on the underside that it holds. */
export interface SettledContact extends Pick<Contact, 'at' | 'layer' | 'leastMm'> {
  readonly byHand: number;
  /** That its underside is of. */
  readonly body: number;
}

/** A part with how it grows and what of it hangs over. */
export interface GrownSolid {
  readonly solid: RunsByLayer;
  readonly growth: PartGrowth;
  readonly hanging: HangingRuns;
}

/** Contacts as far as the sweep has come. */
interface Choice {
  readonly contacts: Contact[];
  readonly body: number[];
  readonly from: number[];
  readonly unreached: Unreached[];
  readonly offPlate: OffPlate[];
  readonly wayless: number[];
  readonly grid: ContactGrid;
  /** Places under an overhang that cannot be held, or need not be. */
  readonly refused: ContactGrid;
  /** By body: it begins in air and nothing holds it yet. */
  readonly wanting: Uint8Array;
  /** By body: the one it has become part of; itself while it has not. */
  readonly into: Uint32Array;
}

/**
 * Where contacts are to hold a part as it grows. A body that starts in air gets one where it starts, once a layer of
 * it is as large as the least region that counts; overhangs get them no further from each other than the spacing, the
 * first where they come first. On the show side a contact stands only where none beside it would do. What the builder
 * has placed himself stands first, and planned contacts keep their distance from it.
 */
export function chooseContacts(
  grown: GrownSolid,
  setting: Pick<SupportSetting, 'tipMm' | 'spacingMm'>,
  places: ContactPlaces,
  interrupter: Interrupter,
): ChosenContacts {
  const { growth, solid } = grown;
  const { layers } = solid.lattice;
  const choice: Choice = {
    contacts: [],
    body: [],
    from: [],
    unreached: [],
    offPlate: [],
    wayless: [],
    grid: contactGrid(setting.spacingMm),
    refused: contactGrid(REFUSED_WITHIN * setting.spacingMm),
    // The plate holds what starts on it.
    wanting: Uint8Array.from(growth.startLayer, (layer) => Number(layer > 0)),
    into: Uint32Array.from({ length: growth.bodies }, (_, body) => body),
  };
  const isFlat = flatFinder(solid);
  for (let layer = 0; layer < layers; layer++) {
    if (layer % LAYERS_PER_CALL === 0) interrupter(layer / layers);
    joinBodies(choice, growth, layer);
    holdByHand(choice, growth, layer, places);
    holdStarts(choice, growth, layer, setting, places);
    holdOverhangs(choice, grown, layer, isFlat, setting, places);
  }
  const { contacts, unreached, offPlate, wayless } = choice;
  return {
    contacts,
    body: Uint32Array.from(choice.body),
    from: Uint32Array.from(choice.from),
    unreached,
    offPlate,
    wayless,
  };
}

function joinBodies({ wanting, into }: Choice, { mergeOffsets, merges }: PartGrowth, layer: number): void {
  for (let n = 2 * mergeOffsets[layer]!; n < 2 * mergeOffsets[layer + 1]!; n += 2) {
    const [goesOn, other] = [merges[n]!, merges[n + 1]!];
    into[other] = goesOn;
    // Held is held, whichever of the two it was.
    if (wanting[other] === 0) wanting[goesOn] = 0;
  }
}

function add(choice: Choice, contact: Contact, body: number, layer: number): void {
  choice.grid.add(contact.at, body);
  choice.contacts.push(contact);
  choice.body.push(body);
  choice.from.push(layer);
}

/** Notes a place from which no way leads onto the plate, if one would lead beyond it. */
function missPlate({ offPlate }: Choice, place: Omit<OffPlate, 'foot'>, foot: Vec3 | null): void {
  if (foot !== null) offPlate.push({ ...place, foot });
}

function holdByHand(choice: Choice, { startLayer }: PartGrowth, layer: number, places: ContactPlaces): void {
  const { isShown, wayFrom } = places;
  for (const { body, ...settled } of places.byHand) {
    if (settled.layer !== layer) continue;
    const { route, offPlate } = wayFrom(settled.at, true);
    if (route === null) {
      choice.wayless.push(settled.byHand);
      const { at, byHand } = settled;
      missPlate(choice, { at, layer, byHand }, offPlate);
      continue;
    }
    // Further up it holds what has already hung in the air.
    const isStart = choice.wanting[body] === 1 && layer - startLayer[body]! <= START_LAYERS;
    if (isStart) choice.wanting[body] = 0;
    const onShow = marksShow(settled.at, route, isShown);
    add(choice, { ...settled, isStart, onShow, route }, body, layer);
  }
}

const nowhere: SoughtWay = { route: null, offPlate: null };

function holdStarts(
  choice: Choice,
  { countOffsets, counts, startAt, startLayer }: PartGrowth,
  layer: number,
  { tipMm }: Pick<SupportSetting, 'tipMm'>,
  places: ContactPlaces,
): void {
  const { isShown, wayFrom, isKeptFree } = places;
  for (let n = countOffsets[layer]!; n < countOffsets[layer + 1]!; n++) {
    const body = counts[n]!;
    if (choice.wanting[body] === 0) continue;
    choice.wanting[body] = 0;
    const at: Vec3 = [startAt[3 * body]!, startAt[3 * body + 1]!, startAt[3 * body + 2]!];
    const start = { at, layer: startLayer[body]! };
    const keptFree = isKeptFree(at);
    const { route, offPlate } = keptFree ? nowhere : wayFrom(at, true);
    if (route === null) {
      choice.unreached.push({ ...start, keptFree });
      missPlate(choice, { ...start, byHand: null }, offPlate);
      continue;
    }
    const onShow = marksShow(at, route, isShown);
    add(choice, { ...start, isStart: true, onShow, byHand: null, leastMm: tipMm, route }, body, layer);
  }
}

/** Whether a place hangs over more than the flattest surface that carries itself. */
function flatFinder(solid: RunsByLayer) {
  const { lattice } = solid;
  const widths = rowWidths(selfSupportReach(lattice.dz, FLAT_DEG), lattice.dy, lattice.rows);
  const runs = growableFloats();
  const carried = growableFloats();
  return (layer: number, row: number, x: number): boolean => {
    const [here, below] = [rowsOfLayer(solid, layer), rowsOfLayer(solid, layer - 1)];
    runs.length = 0;
    overhangOfRow(here, below, lattice.rows, row, widths, carried, runs);
    for (let i = 0; i < runs.length; i += 2)
      if (runs.values[i]! <= x && x <= runs.values[i + 1]!) return true;
    return false;
  };
}

function holdOverhangs(
  choice: Choice,
  { solid: { lattice }, hanging }: GrownSolid,
  layer: number,
  isFlat: ReturnType<typeof flatFinder>,
  { tipMm, spacingMm }: Pick<SupportSetting, 'tipMm' | 'spacingMm'>,
  places: ContactPlaces,
): void {
  const { isShown, wayFrom, isKeptFree } = places;
  const z = lattice.z0 + layer * lattice.dz;
  const { grid, refused, wanting } = choice;
  const isTaken = (place: Vec3, body: number): boolean =>
    // A tip under another body does not hold this one. Asked only where a tip is near.
    grid.isNear(place, (other) => findRoot(choice.into, other) === body) || refused.isNear(place, () => true);
  const hold = (place: Vec3, row: number, body: number): void => {
    // One that is not held yet waits for its start to be large enough to count.
    if (wanting[body] === 1) return;
    const { route, offPlate } = wayFrom(place, false);
    if (route === null || (route.stands === 'part' && !isFlat(layer, row, place[0]))) {
      refused.add(place, body);
      missPlate(choice, { at: place, layer, byHand: null }, offPlate);
      return;
    }
    const onShow = marksShow(place, route, isShown);
    const contact = { at: place, layer, isStart: false, onShow, byHand: null, leastMm: tipMm, route };
    add(choice, contact, body, layer);
  };
  const shown: { place: Vec3; row: number; body: number }[] = [];
  for (let run = hanging.offsets[layer]!; run < hanging.offsets[layer + 1]!; run++) {
    const [row, body] = [hanging.row[run]!, hanging.body[run]!];
    const y = rowY(lattice, row);
    for (const x of placesAlong(hanging.ends[2 * run]!, hanging.ends[2 * run + 1]!, tipMm, spacingMm)) {
      const place: Vec3 = [x, y, z];
      if (isTaken(place, body) || isKeptFree(place)) continue;
      if (isShown(place)) shown.push({ place, row, body });
      else hold(place, row, body);
    }
  }
  for (const { place, row, body } of shown) if (!isTaken(place, body)) hold(place, row, body);
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
