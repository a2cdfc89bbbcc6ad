import type { Interrupter } from '../interrupter.ts';
import {
  addBar,
  addSection,
  barStress,
  type CompositeSection,
  compositeSection,
  type SectionStress,
  sectionStress,
} from '../physics/compositeSection.ts';
import { constants } from '../physics/constants.ts';
import { findRoot } from '../unionFind.ts';
import type { HeldLoads } from './loadLog.ts';
import type { SupportSetting } from './supportSetting.ts';

/** How well tips hold a print. Arrays of tips run over the contacts of the log. */
export interface Holding {
  /** Width of each tip, mm. */
  readonly widthMm: Float64Array;
  /** Greatest pull on each, N, and its layer. A load beside the tips strains them more than it pulls. */
  readonly loadN: Float64Array;
  readonly loadLayer: Uint32Array;
  /**
   * How many times its load the weakest tip, or the plate, can take in each layer, of the bodies that anything
   * holds; Infinity where nothing pulls.
   */
  readonly reserve: Float64Array;
  /** The least of them, its layer and tip; the tip is null where it is the plate that gives. */
  readonly worst: {
    readonly reserve: number;
    readonly layer: number;
    readonly contact: number | null;
  } | null;
}

/** Widths are rounded up to parts of a mm. */
const PER_MM = 20;
/** Looks at all layers, and rounds between them that look at those alone where something was tight. */
const PASSES = 4;
const ROUNDS = 12;
const TIGHT = 1.5;
/** A body may have thousands of tips. */
const LAYERS_PER_CALL = 64;

/**
 * The least widths with which the tips hold every layer: all begin at the least width, and those that would tear
 * are widened until none would, or they are as wide as they may be. `suctionN` by layer; it is shared among bodies
 * by area.
 *
 * The bars of a body act as one section (`compositeSection`) under its peel, suction and weight; so a load beside
 * its tips bends them, and an outer tip takes more. Bodies of one layer are told apart, hence a tip that would tear
 * off alone is not hidden by what the rest could hold.
 */
export function sizeTips(
  log: HeldLoads,
  setting: SupportSetting,
  suctionN: Float64Array,
  interrupter: Interrupter,
): Holding {
  const replayed = (looked: Float64Array | null, leastShare: number): Replayed =>
    replay(log, setting, suctionN, widthMm, looked, leastShare, interrupter);
  const widthMm = Float64Array.from(log.contacts, ({ leastMm }) => leastMm);
  const atMost = log.contacts.map(({ leastMm }) => Math.max(setting.widestTipMm, leastMm));
  // Until the widths are settled only what would tear, or is tight, is asked for.
  let last = replayed(null, 1 / TIGHT);
  for (let pass = 0; pass < PASSES && widen(widthMm, last.use, atMost); pass++) {
    const tight = last.reserve.map((reserve) => Number(reserve < TIGHT));
    for (let round = 0; round < ROUNDS; round++) {
      const { use } = replayed(tight, 1);
      if (!widen(widthMm, use, atMost)) break;
    }
    last = replayed(null, 1 / TIGHT);
  }
  for (let tip = 0; tip < widthMm.length; tip++) {
    widthMm[tip] = Math.min(atMost[tip]!, Math.round(Math.ceil(widthMm[tip]! * PER_MM - 1e-6)) / PER_MM);
  }
  const { use: _, ...holding } = replayed(null, 0);
  return { widthMm, ...holding };
}

/** Widens what would tear, as far as may be; false where there is nothing to widen. */
function widen(widthMm: Float64Array, use: Float64Array, atMost: readonly number[]): boolean {
  let widened = false;
  for (let tip = 0; tip < widthMm.length; tip++) {
    if (use[tip]! <= 1 || widthMm[tip]! >= atMost[tip]!) continue;
    // Bending falls with the cube of the width, tension with its square: this never goes too far.
    widthMm[tip] = Math.min(atMost[tip]!, widthMm[tip]! * Math.cbrt(use[tip]! * (1 + 1e-3)));
    widened = true;
  }
  return widened;
}

interface Replayed extends Omit<Holding, 'widthMm'> {
  /** By tip: greatest share of what it may bear. */
  readonly use: Float64Array;
}

interface TipBounds {
  xLow: number;
  xHigh: number;
  yLow: number;
  yHigh: number;
  widest: number;
}

/** A body as it is held so far. */
interface HeldBody {
  /** Of the bars that lead from it to the plate, or to a body that it has not become one with. */
  section: CompositeSection;
  tips: number[];
  /** Bounds of these tips' middles, and the widest of them, mm. */
  bounds: TipBounds;
  /** Those of them whose struts stand on another body. */
  passing: number[];
  /** Tips whose struts stand on the body itself, and their bars. */
  inner: number[];
  innerSection: CompositeSection;
  innerBounds: TipBounds;
  plates: { readonly x: number; readonly y: number; readonly radius: number }[];
  volume: number;
  momentX: number;
  momentY: number;
}

const heldBody = (): HeldBody => ({
  section: compositeSection(),
  tips: [],
  bounds: noTips(),
  passing: [],
  inner: [],
  innerSection: compositeSection(),
  innerBounds: noTips(),
  plates: [],
  volume: 0,
  momentX: 0,
  momentY: 0,
});

/** Forces that act on a body beside the film's own and its weight, N, and their moments about the plate's middle. */
interface Passed {
  force: number;
  momentX: number;
  momentY: number;
}

/**
 * What an inner strut bears is a matter of the body alone, which it stands on: as soon as that is the one that it holds,
 * it keeps nothing from being pulled off the plate. It is still made as strong as if it shared the load with the others,
 * since it holds the surface over it while that is printed.
 */
function replay(
  { growth, contacts, body: bodyOf, from, on }: HeldLoads,
  setting: SupportSetting,
  suctionN: Float64Array,
  widthMm: Float64Array,
  /** By layer: 1 where its pull is looked at; null = everywhere. */
  looked: Float64Array | null,
  /** Where every tip surely bears a smaller share of what it may than this, they are not looked at one by one. */
  leastShare: number,
  interrupter: Interrupter,
): Replayed {
  const { mergeOffsets, merges, loadOffsets, loadBody, loads, layerHeight, onPlate } = growth;
  const { greenStrength, safety, peel, plateHold, density } = setting;
  const layers = loadOffsets.length - 1;
  const held: HeldBody[] = Array.from({ length: growth.bodies }, heldBody);
  const into = Uint32Array.from({ length: growth.bodies }, (_, body) => body);
  const loadN = new Float64Array(contacts.length);
  const loadLayer = new Uint32Array(contacts.length);
  const use = new Float64Array(contacts.length);
  const reserve = new Float64Array(layers).fill(Number.POSITIVE_INFINITY);
  const xs = Float64Array.from(contacts, ({ at }) => at[0]);
  const ys = Float64Array.from(contacts, ({ at }) => at[1]);
  const order = highestFirst(growth);
  const passed = new Map<number, Passed>();
  let worst: { reserve: number; layer: number; contact: number | null } | null = null;
  const weigh = density * 1e-6 * constants.gravity.value;
  let begun = 0;

  const judge = (layer: number, share: number, contact: number | null): void => {
    if (!(share > 0)) return;
    if (1 / share < reserve[layer]!) reserve[layer] = 1 / share;
    if (worst === null || 1 / share < worst.reserve) worst = { reserve: 1 / share, layer, contact };
  };

  const hold = (tip: number, body: number): void => {
    const own = held[body]!;
    const stood = on[tip]! < 0 ? -1 : findRoot(into, on[tip]!);
    const isInner = stood === body;
    const [section, bounds] = isInner ? [own.innerSection, own.innerBounds] : [own.section, own.bounds];
    (isInner ? own.inner : own.tips).push(tip);
    if (stood >= 0 && !isInner) own.passing.push(tip);
    growBounds(bounds, xs[tip]!, xs[tip]!, ys[tip]!, ys[tip]!, widthMm[tip]!);
    addBar(section, xs[tip]!, ys[tip]!, (Math.PI / 4) * widthMm[tip]! ** 2);
  };

  const join = (goesOn: number, other: number): void => {
    const own = held[goesOn]!;
    into[other] = goesOn;
    joinHeld(own, held[other]!);
    if (!own.passing.some((tip) => findRoot(into, on[tip]!) === goesOn)) return;
    // What stood on the one and held the other is inside from here on.
    const { tips, plates } = own;
    Object.assign(own, { section: compositeSection(), tips: [], bounds: noTips(), passing: [] });
    for (const tip of tips) hold(tip, goesOn);
    for (const { x, y, radius } of plates) addBar(own.section, x, y, Math.PI * radius * radius);
  };

  /** Looks at some tips of a body under a stress: how much they bear of what they may, and what pulls on them. */
  const look = (tips: readonly number[], bounds: TipBounds, stress: SectionStress, layer: number): void => {
    if (leastShare > 0 && (mostStress(stress, bounds) * safety) / greenStrength < leastShare) return;
    // As `barStress`, which a body of a thousand tips would ask for twice for each of them.
    const { middle, alongX, alongY, x: middleX, y: middleY } = stress;
    const slope = Math.hypot(alongX, alongY);
    let most = 0;
    let mostTip = -1;
    for (const tip of tips) {
      const width = widthMm[tip]!;
      const inMiddle = middle + alongX * (xs[tip]! - middleX) + alongY * (ys[tip]! - middleY);
      const share = ((inMiddle + (slope * width) / 2) * safety) / greenStrength;
      if (share > use[tip]!) use[tip] = share;
      if (share > most) {
        most = share;
        mostTip = tip;
      }
      const pull = inMiddle * (Math.PI / 4) * width * width;
      if (pull <= loadN[tip]!) continue;
      loadN[tip] = pull;
      loadLayer[tip] = layer;
    }
    judge(layer, most, mostTip);
  };

  /** What the film and other bodies pull on a body, in one layer. */
  const pull = (number: number, film: number, loadX: number, loadY: number, layer: number): void => {
    const body = held[number]!;
    const other = passed.get(number);
    passed.delete(number);
    const weight = weigh * body.volume;
    const force = film + weight + (other?.force ?? 0);
    // Nothing holds it: told as a start that no strut gets to.
    if (body.section.area === 0) return;
    const x = (film * loadX + weigh * body.momentX + (other?.momentX ?? 0)) / force;
    const y = (film * loadY + weigh * body.momentY + (other?.momentY ?? 0)) / force;
    const stress = sectionStress(body.section, force, x, y);
    for (const { x: plateX, y: plateY, radius } of body.plates) {
      judge(layer, (barStress(stress, plateX, plateY, radius) * safety) / (plateHold * 1e-3), null);
    }
    look(body.tips, body.bounds, stress, layer);
    for (const tip of body.passing) {
      const below = findRoot(into, on[tip]!);
      // Two that stand on each other would never come to an end.
      if (below >= number) continue;
      const bears = barStress(stress, xs[tip]!, ys[tip]!, 0) * (Math.PI / 4) * widthMm[tip]! ** 2;
      passOn(passed, below, bears, xs[tip]!, ys[tip]!);
    }
    if (body.inner.length === 0) return;
    const all = { ...body.section };
    addSection(all, body.innerSection);
    look(body.inner, body.innerBounds, sectionStress(all, force, x, y), layer);
  };

  for (let layer = 0; layer < layers; layer++) {
    if (layer % LAYERS_PER_CALL === 0) interrupter(layer / layers);
    for (let n = 2 * mergeOffsets[layer]!; n < 2 * mergeOffsets[layer + 1]!; n += 2) {
      join(merges[n]!, merges[n + 1]!);
    }
    for (; begun < contacts.length && from[begun] === layer; begun++) hold(begun, bodyOf[begun]!);
    let area = 0;
    for (let n = loadOffsets[layer]!; n < loadOffsets[layer + 1]!; n++) area += loads[3 * n]!;
    for (let at = loadOffsets[layer]!; at < loadOffsets[layer + 1]!; at++) {
      const n = order[at]!;
      const [areaMm2, loadX, loadY] = [loads[3 * n]!, loads[3 * n + 1]!, loads[3 * n + 2]!];
      const body = held[loadBody[n]!]!;
      if (layer === 0 && onPlate) standOnPlate(body, loadX, loadY, areaMm2);
      body.volume += areaMm2 * layerHeight;
      body.momentX += areaMm2 * layerHeight * loadX;
      body.momentY += areaMm2 * layerHeight * loadY;
      if (looked !== null && looked[layer] === 0) continue;
      pull(loadBody[n]!, (peel * 1e-3 + (suctionN[layer] ?? 0) / area) * areaMm2, loadX, loadY, layer);
    }
    // Bodies that end below this layer, on which others stand; the highest first, as they stand on each other.
    while (passed.size > 0) pull(Math.max(...passed.keys()), 0, 0, 0, layer);
  }
  return { loadN, loadLayer, use, reserve, worst };
}

function passOn(passed: Map<number, Passed>, body: number, force: number, x: number, y: number): void {
  const sum = passed.get(body) ?? { force: 0, momentX: 0, momentY: 0 };
  sum.force += force;
  sum.momentX += force * x;
  sum.momentY += force * y;
  passed.set(body, sum);
}

/** The loads of each layer with the highest body first: a body has a higher number than the one that its struts stand on. */
function highestFirst({ loadOffsets, loadBody }: HeldLoads['growth']): Uint32Array {
  const order = Uint32Array.from(loadBody, (_, n) => n);
  for (let layer = 0; layer + 1 < loadOffsets.length; layer++) {
    const own = order.subarray(loadOffsets[layer]!, loadOffsets[layer + 1]!);
    if (own.length > 1) own.sort((a, b) => loadBody[b]! - loadBody[a]!);
  }
  return order;
}

const noTips = (): TipBounds => ({
  xLow: Number.POSITIVE_INFINITY,
  xHigh: Number.NEGATIVE_INFINITY,
  yLow: Number.POSITIVE_INFINITY,
  yHigh: Number.NEGATIVE_INFINITY,
  widest: 0,
});

function growBounds(
  bounds: TipBounds,
  xLow: number,
  xHigh: number,
  yLow: number,
  yHigh: number,
  widest: number,
): void {
  if (xLow < bounds.xLow) bounds.xLow = xLow;
  if (xHigh > bounds.xHigh) bounds.xHigh = xHigh;
  if (yLow < bounds.yLow) bounds.yLow = yLow;
  if (yHigh > bounds.yHigh) bounds.yHigh = yHigh;
  if (widest > bounds.widest) bounds.widest = widest;
}

/** Rounding in a sum of a few terms is far below this part of it. */
const ROUNDING = 1 + 1e-9;

/** No tip within the bounds is under more tension. */
function mostStress({ middle, alongX, alongY, x, y }: SectionStress, bounds: TipBounds): number {
  const overX = Math.max(alongX * (bounds.xLow - x), alongX * (bounds.xHigh - x));
  const overY = Math.max(alongY * (bounds.yLow - y), alongY * (bounds.yHigh - y));
  return (middle + overX + overY + (Math.hypot(alongX, alongY) * bounds.widest) / 2) * ROUNDING;
}

function joinHeld(into: HeldBody, from: HeldBody): void {
  const { xLow, xHigh, yLow, yHigh, widest } = from.bounds;
  growBounds(into.bounds, xLow, xHigh, yLow, yHigh, widest);
  addSection(into.section, from.section);
  into.tips = into.tips.concat(from.tips);
  into.passing = into.passing.concat(from.passing);
  const inner = from.innerBounds;
  growBounds(into.innerBounds, inner.xLow, inner.xHigh, inner.yLow, inner.yHigh, inner.widest);
  addSection(into.innerSection, from.innerSection);
  into.inner = into.inner.concat(from.inner);
  into.plates = into.plates.concat(from.plates);
  into.volume += from.volume;
  into.momentX += from.momentX;
  into.momentY += from.momentY;
}

/** What stands on the plate is held there by all of its first layer, as a disc of that area. */
function standOnPlate(body: HeldBody, x: number, y: number, areaMm2: number): void {
  addBar(body.section, x, y, areaMm2);
  body.plates = [{ x, y, radius: Math.sqrt(areaMm2 / Math.PI) }];
}
