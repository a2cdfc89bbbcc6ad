import type { Interrupter } from '../interrupter.ts';
import {
  addBar,
  addSection,
  barStress,
  type CompositeSection,
  compositeSection,
  sectionStress,
} from '../physics/compositeSection.ts';
import { constants } from '../physics/constants.ts';
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
  const replayed = (looked: Float64Array | null): Replayed =>
    replay(log, setting, suctionN, widthMm, looked, interrupter);
  const widthMm = Float64Array.from(log.contacts, ({ leastMm }) => leastMm);
  const atMost = log.contacts.map(({ leastMm }) => Math.max(setting.widestTipMm, leastMm));
  let last = replayed(null);
  for (let pass = 0; pass < PASSES && widen(widthMm, last.use, atMost); pass++) {
    const tight = last.reserve.map((reserve) => Number(reserve < TIGHT));
    for (let round = 0; round < ROUNDS; round++) {
      const { use } = replayed(tight);
      if (!widen(widthMm, use, atMost)) break;
    }
    last = replayed(null);
  }
  for (let tip = 0; tip < widthMm.length; tip++) {
    widthMm[tip] = Math.min(atMost[tip]!, Math.round(Math.ceil(widthMm[tip]! * PER_MM - 1e-6)) / PER_MM);
  }
  return { widthMm, ...replayed(null) };
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

/** A body as it is held so far. */
interface HeldBody {
  readonly section: CompositeSection;
  tips: number[];
  plates: { readonly x: number; readonly y: number; readonly radius: number }[];
  volume: number;
  momentX: number;
  momentY: number;
}

function replay(
  { steps, bodies, contacts, layerHeight, onPlate }: HeldLoads,
  setting: SupportSetting,
  suctionN: Float64Array,
  widthMm: Float64Array,
  /** By layer: 1 where its pull is looked at; null = everywhere. */
  looked: Float64Array | null,
  interrupter: Interrupter,
): Replayed {
  const { greenStrength, safety, peel, plateHold, density } = setting;
  const held: HeldBody[] = Array.from({ length: bodies }, () => {
    return { section: compositeSection(), tips: [], plates: [], volume: 0, momentX: 0, momentY: 0 };
  });
  const loadN = new Float64Array(contacts.length);
  const loadLayer = new Uint32Array(contacts.length);
  const use = new Float64Array(contacts.length);
  const reserve = new Float64Array(steps.length).fill(Number.POSITIVE_INFINITY);
  const xs = Float64Array.from(contacts, ({ at }) => at[0]);
  const ys = Float64Array.from(contacts, ({ at }) => at[1]);
  let worst: { reserve: number; layer: number; contact: number | null } | null = null;
  const weigh = density * 1e-6 * constants.gravity.value;

  const judge = (layer: number, share: number, contact: number | null): void => {
    if (!(share > 0)) return;
    if (1 / share < reserve[layer]!) reserve[layer] = 1 / share;
    if (worst === null || 1 / share < worst.reserve) worst = { reserve: 1 / share, layer, contact };
  };

  steps.forEach(({ merges, contacts: begun, loads }, layer) => {
    if (layer % LAYERS_PER_CALL === 0) interrupter(layer / steps.length);
    for (const [into, from] of merges) joinHeld(held[into]!, held[from]!);
    for (const [contact, body] of begun) {
      const [x, y] = contacts[contact]!.at;
      held[body]!.tips.push(contact);
      addBar(held[body]!.section, x, y, (Math.PI / 4) * widthMm[contact]! ** 2);
    }
    const area = loads.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
    for (const load of loads) {
      const body = held[load.body]!;
      if (layer === 0 && onPlate) standOnPlate(body, load.x, load.y, load.areaMm2);
      body.volume += load.areaMm2 * layerHeight;
      body.momentX += load.areaMm2 * layerHeight * load.x;
      body.momentY += load.areaMm2 * layerHeight * load.y;
      if (looked !== null && looked[layer] === 0) continue;
      const film = (peel * 1e-3 + (suctionN[layer] ?? 0) / area) * load.areaMm2;
      const weight = weigh * body.volume;
      const force = film + weight;
      // Nothing holds it: told as a start that no strut gets to.
      if (body.section.area === 0) continue;
      const x = (film * load.x + weigh * body.momentX) / force;
      const y = (film * load.y + weigh * body.momentY) / force;
      const stress = sectionStress(body.section, force, x, y);
      let most = 0;
      let mostTip = -1;
      for (const tip of body.tips) {
        const width = widthMm[tip]!;
        const share = (barStress(stress, xs[tip]!, ys[tip]!, width / 2) * safety) / greenStrength;
        if (share > use[tip]!) use[tip] = share;
        if (share > most) {
          most = share;
          mostTip = tip;
        }
        const pull = barStress(stress, xs[tip]!, ys[tip]!, 0) * (Math.PI / 4) * width * width;
        if (pull <= loadN[tip]!) continue;
        loadN[tip] = pull;
        loadLayer[tip] = layer;
      }
      judge(layer, most, mostTip);
      for (const { x: plateX, y: plateY, radius } of body.plates) {
        judge(layer, (barStress(stress, plateX, plateY, radius) * safety) / (plateHold * 1e-3), null);
      }
    }
  });
  return { loadN, loadLayer, use, reserve, worst };
}

function joinHeld(into: HeldBody, from: HeldBody): void {
  addSection(into.section, from.section);
  into.tips = into.tips.concat(from.tips);
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
