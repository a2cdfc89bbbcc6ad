import {
  addBar,
  addSection,
  barStress,
  compositeSection,
  sectionStress,
} from '../../src/core/physics/compositeSection.ts';
import { constants } from '../../src/core/physics/constants.ts';
import type { HeldLoads } from '../../src/core/supports/loadLog.ts';
import type { Holding } from '../../src/core/supports/sizeTips.ts';
import type { SupportSetting } from '../../src/core/supports/supportSetting.ts';

/** Looks at all layers, and rounds between them that look at those alone where something was tight. */
const PASSES = 4;
const ROUNDS = 12;
const TIGHT = 1.5;

/** The slower twin of `sizeTips` where all struts stand on the plate: every tip is looked at in every layer, as often as widths change. */
export function sizeTips(log: HeldLoads, setting: SupportSetting, suctionN: Float64Array): Holding {
  const widthMm = Float64Array.from(log.contacts, ({ leastMm }) => leastMm);
  const atMost = log.contacts.map(({ leastMm }) => Math.max(setting.widestTipMm, leastMm));
  const widened = (use: readonly number[]): boolean => {
    let any = false;
    for (const [tip, share] of use.entries()) {
      if (share <= 1 || widthMm[tip]! >= atMost[tip]!) continue;
      widthMm[tip] = Math.min(atMost[tip]!, widthMm[tip]! * Math.cbrt(share * (1 + 1e-3)));
      any = true;
    }
    return any;
  };
  let last = replay(log, setting, suctionN, widthMm, () => true);
  for (let pass = 0; pass < PASSES && widened(last.use); pass++) {
    const { reserve } = last;
    for (let round = 0; round < ROUNDS; round++) {
      if (!widened(replay(log, setting, suctionN, widthMm, (layer) => reserve[layer]! < TIGHT).use)) break;
    }
    last = replay(log, setting, suctionN, widthMm, () => true);
  }
  for (const tip of widthMm.keys()) {
    widthMm[tip] = Math.min(atMost[tip]!, Math.round(Math.ceil(widthMm[tip]! * 20 - 1e-6)) / 20);
  }
  const { use: _, ...holding } = replay(log, setting, suctionN, widthMm, () => true);
  return { widthMm, ...holding };
}

function replay(
  { growth, contacts, body: bodyOf, from }: HeldLoads,
  { greenStrength, safety, peel, plateHold, density }: SupportSetting,
  suctionN: Float64Array,
  widthMm: Float64Array,
  isLooked: (layer: number) => boolean,
): Omit<Holding, 'widthMm'> & { readonly use: number[] } {
  const layers = growth.loadOffsets.length - 1;
  const held = Array.from({ length: growth.bodies }, () => ({
    section: compositeSection(),
    tips: [] as number[],
    plates: [] as { x: number; y: number; radius: number }[],
    volume: 0,
    momentX: 0,
    momentY: 0,
  }));
  const loadN = new Float64Array(contacts.length);
  const loadLayer = new Uint32Array(contacts.length);
  const use: number[] = contacts.map(() => 0);
  const reserve = new Float64Array(layers).fill(Number.POSITIVE_INFINITY);
  let worst: Holding['worst'] = null;
  const weigh = density * 1e-6 * constants.gravity.value;
  for (let layer = 0; layer < layers; layer++) {
    for (let n = growth.mergeOffsets[layer]!; n < growth.mergeOffsets[layer + 1]!; n++) {
      const [into, other] = [held[growth.merges[2 * n]!]!, held[growth.merges[2 * n + 1]!]!];
      addSection(into.section, other.section);
      into.tips.push(...other.tips);
      into.plates.push(...other.plates);
      into.volume += other.volume;
      into.momentX += other.momentX;
      into.momentY += other.momentY;
    }
    for (const [tip, { at }] of contacts.entries()) {
      if (from[tip] !== layer) continue;
      const body = held[bodyOf[tip]!]!;
      body.tips.push(tip);
      addBar(body.section, at[0], at[1], (Math.PI / 4) * widthMm[tip]! ** 2);
    }
    // The highest body first; the middle of an area is told by x and y.
    const loads = Array.from(
      { length: growth.loadOffsets[layer + 1]! - growth.loadOffsets[layer]! },
      (_, n) => {
        const at = growth.loadOffsets[layer]! + n;
        const [areaMm2, x, y] = [growth.loads[3 * at]!, growth.loads[3 * at + 1]!, growth.loads[3 * at + 2]!];
        return { number: growth.loadBody[at]!, body: held[growth.loadBody[at]!]!, areaMm2, x, y };
      },
    ).sort((one, other) => other.number - one.number);
    const area = growth.loads
      .subarray(3 * growth.loadOffsets[layer]!, 3 * growth.loadOffsets[layer + 1]!)
      .reduce((sum, value, n) => (n % 3 === 0 ? sum + value : sum), 0);
    for (const { body, areaMm2, x: loadX, y: loadY } of loads) {
      if (layer === 0 && growth.onPlate) {
        addBar(body.section, loadX, loadY, areaMm2);
        body.plates = [{ x: loadX, y: loadY, radius: Math.sqrt(areaMm2 / Math.PI) }];
      }
      body.volume += areaMm2 * growth.layerHeight;
      body.momentX += areaMm2 * growth.layerHeight * loadX;
      body.momentY += areaMm2 * growth.layerHeight * loadY;
      if (!isLooked(layer) || body.section.area === 0) continue;
      const film = (peel * 1e-3 + suctionN[layer]! / area) * areaMm2;
      const force = film + weigh * body.volume;
      const x = (film * loadX + weigh * body.momentX) / force;
      const y = (film * loadY + weigh * body.momentY) / force;
      const stress = sectionStress(body.section, force, x, y);
      const shares: [number, number | null][] = body.plates.map((plate) => [
        (barStress(stress, plate.x, plate.y, plate.radius) * safety) / (plateHold * 1e-3),
        null,
      ]);
      for (const tip of body.tips) {
        const [tipX, tipY] = contacts[tip]!.at;
        const width = widthMm[tip]!;
        const share = (barStress(stress, tipX, tipY, width / 2) * safety) / greenStrength;
        use[tip] = Math.max(use[tip]!, share);
        shares.push([share, tip]);
        const pull = barStress(stress, tipX, tipY, 0) * (Math.PI / 4) * width * width;
        if (pull <= loadN[tip]!) continue;
        loadN[tip] = pull;
        loadLayer[tip] = layer;
      }
      for (const [share, contact] of shares) {
        if (!(share > 0)) continue;
        reserve[layer] = Math.min(reserve[layer]!, 1 / share);
        if (worst === null || 1 / share < worst.reserve) worst = { reserve: 1 / share, layer, contact };
      }
    }
  }
  return { loadN, loadLayer, use, reserve, worst };
}
