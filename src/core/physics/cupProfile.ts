import type { CupState, CupTrack } from '../layers/cupTrack.ts';
import type { OpeningId } from '../openings/opening.ts';
import { cupSuction } from './cupSuction.ts';
import { type CupVent, cupVents } from './cupVents.ts';
import type { LoadSetting } from './loadSetting.ts';
import { parallelVents } from './parallelVents.ts';
import { type CupDemand, requiredDiameter } from './requiredDiameter.ts';
import { ventFlow } from './ventResistance.ts';

/**
 * A cup layer by layer, index 0 = its first layer; a layer with several limbs holds their sum. mm², N,
 * and mm³ of void. A layer without any of its area is all 0.
 */
export interface CupProfile {
  readonly area: Float64Array;
  readonly suction: Float64Array;
  readonly squeeze: Float64Array;
  readonly openings: Float64Array;
  readonly volume: Float64Array;
  /** Volume of the limbs into which air can come. */
  readonly airedVolume: Float64Array;
  /** 1 where a limb with area does not join the outside. */
  readonly sealed: Uint8Array;
  /** Required vent diameter in m, the largest of the limbs; infinite where the squeeze flow alone is too much. */
  readonly vent: Float64Array;
}

export function cupProfile(track: CupTrack, setting: LoadSetting): CupProfile {
  const length = track.toLayer - track.fromLayer + 1;
  const numbers = (): Float64Array => new Float64Array(length);
  const profile: CupProfile = {
    area: numbers(),
    suction: numbers(),
    squeeze: numbers(),
    openings: numbers(),
    volume: numbers(),
    airedVolume: numbers(),
    sealed: new Uint8Array(length),
    vent: numbers(),
  };
  for (const state of track.states) profile.area[state.layer - track.fromLayer]! += state.areaMm2;
  const sculptedLayer = firstSculptedLayer(track);
  for (const state of track.states) addState(profile, track, state, sculptedLayer, setting);
  return profile;
}

/**
 * The layer at which the sculpt first joins the cup to the outside: its hole's plate-side edge lies
 * there, since the join is found as soon as the first layer of the hole is printed.
 */
export function firstSculptedLayer(track: CupTrack): number {
  return track.states.find((state) => state.sculptedMm2 > 0)?.layer ?? track.toLayer;
}

function addState(
  profile: CupProfile,
  track: CupTrack,
  state: CupState,
  sculptedLayer: number,
  setting: LoadSetting,
): void {
  const at = state.layer - track.fromLayer;
  const vents = cupVents(state, sculptedEdge(state, sculptedLayer, setting), setting);
  profile.volume[at]! += state.volumeMm3;
  if (vents.some((vent) => vent.inAir)) profile.airedVolume[at]! += state.volumeMm3;
  if (state.areaMm2 <= 0) return;
  const demand = cupDemand(state, setting);
  const resistances = vents.map((vent) => vent.resistance);
  const suction = cupSuction(demand, resistances, setting.resin.viscosity);
  profile.suction[at]! += suction.total;
  profile.squeeze[at]! += suction.squeeze;
  profile.openings[at]! += suction.openings;
  if (!state.joined) profile.sealed[at] = 1;
  const limit = (setting.suctionLimit * state.areaMm2) / profile.area[at]!;
  const vent = requiredDiameter(demand, setting.wallBore, setting.resin, limit) ?? Number.POSITIVE_INFINITY;
  profile.vent[at] = Math.max(profile.vent[at]!, vent);
}

function sculptedEdge(state: CupState, sculptedLayer: number, setting: LoadSetting): number {
  return Math.max(sculptedLayer, state.floorLayer) * setting.layerHeight;
}

/** A hole of the sculpt as large as the cup leaves no floor for resin to be squeezed over: a ring, a sleeve. */
function cupDemand(state: CupState, setting: LoadSetting): CupDemand {
  const area = state.areaMm2 * 1e-6;
  return {
    area,
    floorArea: Math.max(0, area - state.sculptedMm2 * 1e-6),
    depth: Math.max(state.volumeMm3 / state.areaMm2, setting.layerHeight) * 1e-3,
    speed: setting.speed,
  };
}

/** The way that carries most of a cup's flow at a layer, all limbs together; null when it is sealed. */
export function mainVent(track: CupTrack, layer: number, setting: LoadSetting): OpeningId | 'mesh' | null {
  const flows = new Map<OpeningId, number>();
  const sculptedLayer = firstSculptedLayer(track);
  for (const state of track.states) {
    if (state.layer !== layer) continue;
    const vents = cupVents(state, sculptedEdge(state, sculptedLayer, setting), setting);
    addFlows(flows, vents, cupDemand(state, setting));
  }
  let main: OpeningId | null = null;
  for (const [id, flow] of flows) if (main === null || flow > flows.get(main)!) main = id;
  return main;
}

function addFlows(flows: Map<OpeningId, number>, vents: readonly CupVent[], demand: CupDemand): void {
  const drop = parallelVents(
    vents.map((vent) => vent.resistance),
    demand.area * demand.speed,
  );
  for (const { id, resistance } of vents) flows.set(id, (flows.get(id) ?? 0) + ventFlow(resistance, drop));
}
