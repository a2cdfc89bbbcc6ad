import type { LimbLobes, PrintNeck } from '../chambers/limbLobes.ts';
import type { CupState } from '../layers/cupTrack.ts';
import { circularSegment, type Section } from './circularSegment.ts';
import { constants } from './constants.ts';
import type { CupVent } from './cupVents.ts';
import { type FlowWay, nodePressures } from './flowNetwork.ts';
import { filmHeight, type LoadSetting } from './loadSetting.ts';
import { printedHeight } from './printedHeight.ts';
import { ventResistance } from './ventResistance.ts';

/** What flows between the lobes of one limb at a layer: its areas at the film, m², and all ways. */
export interface LobeFlow {
  readonly areas: Float64Array;
  readonly ways: readonly FlowWay[];
}

const mm = 1e-3;

/**
 * The flow in a limb that consists of several lobes in the print so far; null where it is one void: without
 * necks, or not resolved. Lobes that reach the film share the limb's area as in the nearest layer looked
 * at; those behind necks printed so far pass on what flows through them.
 */
export function lobeFlow(state: CupState, vents: readonly CupVent[], setting: LoadSetting): LobeFlow | null {
  const { lobes } = setting;
  if (lobes === null || lobes.limbs.necks.length === 0 || state.areaMm2 <= 0) return null;
  const shares = lobesAtFilm(state, lobes.limbs);
  if (shares.size === 0) return null;
  const film = filmHeight(setting, state.layer);
  const necks = lobes.limbs.necks.map((neck) => ({
    neck,
    section: printedNeck(neck, film),
  }));
  const nodeOf = new Map<number, number>([...shares.keys()].map((lobe, node) => [lobe, node]));
  for (let known = 0; known < nodeOf.size; ) {
    known = nodeOf.size;
    for (const { neck, section } of necks) {
      if (section.area <= 0 || !(nodeOf.has(neck.a) || nodeOf.has(neck.b))) continue;
      if (!nodeOf.has(neck.a)) nodeOf.set(neck.a, nodeOf.size);
      if (!nodeOf.has(neck.b)) nodeOf.set(neck.b, nodeOf.size);
    }
  }
  if (nodeOf.size < 2) return null;
  const areas = new Float64Array(nodeOf.size);
  const total = [...shares.values()].reduce((sum, area) => sum + area, 0);
  for (const [lobe, area] of shares) areas[nodeOf.get(lobe)!] = (state.areaMm2 * 1e-6 * area) / total;
  const main = indexOfLargest(areas);
  const ways: FlowWay[] = vents.map(({ opening, resistance }) => ({
    from: (opening === null ? null : nodeOf.get(lobes.openingLobe[opening] ?? -1)) ?? main,
    to: null,
    resistance,
  }));
  for (const { neck, section } of necks) {
    const [from, to] = [nodeOf.get(neck.a), nodeOf.get(neck.b)];
    if (from === undefined || to === undefined || section.area <= 0) continue;
    ways.push({ from, to, resistance: ventResistance(section, neck.lengthMm * mm, setting.resin) });
  }
  return { areas, ways };
}

/** N by which a limb's lobes pull while the film parts at `speed` m/s, each at most with one atmosphere. */
export function lobePull({ areas, ways }: LobeFlow, speed: number): number {
  const pressures = nodePressures(
    areas.map((area) => area * speed),
    ways,
  );
  return areas.reduce(
    (sum, area, node) => sum + area * (area > 0 ? Math.min(pressures[node]!, constants.atmosphere.value) : 0),
    0,
  );
}

/** Area of each lobe of the limb at the film, mm²: between the layers looked at, or by the one that knows the limb. */
function lobesAtFilm({ layer, limb }: CupState, limbs: LimbLobes): Map<number, number> {
  const after = firstAtLeast(limbs.layer, layer);
  const [below, above] = [areasIn(limbs, after - 1, limb), areasIn(limbs, after, limb)];
  if (below.size === 0 || above.size === 0) return below.size > 0 ? below : above;
  const [from, to] = [limbs.layer[after - 1]!, limbs.layer[after]!];
  const share = (layer - from) / (to - from);
  return new Map(
    [...new Set([...below.keys(), ...above.keys()])].map((lobe) => [
      lobe,
      (1 - share) * (below.get(lobe) ?? 0) + share * (above.get(lobe) ?? 0),
    ]),
  );
}

/** Areas by lobe of a limb in the n-th layer looked at; none where it is not known. */
function areasIn({ start, limb, lobe, areaMm2 }: LimbLobes, n: number, wanted: number): Map<number, number> {
  const areas = new Map<number, number>();
  for (let entry = start[n] ?? 0; entry < (start[n + 1] ?? 0); entry++) {
    if (limb[entry] === wanted) areas.set(lobe[entry]!, areaMm2[entry]!);
  }
  return areas;
}

function firstAtLeast(layers: Uint32Array, layer: number): number {
  let low = 0;
  let high = layers.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (layers[middle]! < layer) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * What is printed of a neck's section while the film lies at `film` mm: a segment of the circle of its
 * area, with no more than its own hydraulic diameter.
 */
function printedNeck({ at, direction, areaMm2, hydraulicMm }: PrintNeck, film: number): Section {
  const radius = Math.sqrt(areaMm2 / Math.PI);
  const section = circularSegment(radius * mm, printedHeight(film - at[2], direction[2], radius) * mm);
  return { ...section, hydraulicDiameter: Math.min(section.hydraulicDiameter, hydraulicMm * mm) };
}

function indexOfLargest(values: Float64Array): number {
  let best = 0;
  for (let i = 1; i < values.length; i++) if (values[i]! > values[best]!) best = i;
  return best;
}
