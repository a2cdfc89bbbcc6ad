import type { CupState, CupTrack } from '../layers/cupTrack.ts';
import type { OpeningId } from '../openings/opening.ts';
import { type CupSuction, worstSuction } from './cupSuction.ts';
import { type CupVent, cupVents } from './cupVents.ts';
import type { LoadSetting } from './loadSetting.ts';
import { lobeFlow } from './lobeFlow.ts';
import type { TrackSqueeze } from './localSqueeze.ts';
import { mouthFlow, type StateSqueeze } from './mouthFlow.ts';
import { parallelVents } from './parallelVents.ts';
import type { CupDemand } from './requiredDiameter.ts';
import { ventFlow } from './ventResistance.ts';

/**
 * A cup layer by layer, index 0 = its first layer; a layer with several limbs holds their sum. mm², N,
 * and mm³ of void. A layer without any of its area is all 0.
 */
export interface CupProfile {
  readonly area: Float64Array;
  readonly suction: Float64Array;
  readonly squeeze: Float64Array;
  readonly volume: Float64Array;
  /** Volume of the limbs into which air can come. */
  readonly airedVolume: Float64Array;
  /** 1 where a limb with area does not join the outside. */
  readonly sealed: Uint8Array;
  /** By state of the track; null for one without area. */
  readonly suctions: (CupSuction | null)[];
  /** By state of the track; null where the squeeze is not known cell by cell. */
  readonly local: (StateSqueeze | null)[];
}

export function cupProfile(
  track: CupTrack,
  setting: LoadSetting,
  squeeze: TrackSqueeze | null = null,
): CupProfile {
  const length = track.toLayer - track.fromLayer + 1;
  const numbers = (): Float64Array => new Float64Array(length);
  const profile: CupProfile = {
    area: numbers(),
    suction: numbers(),
    squeeze: numbers(),
    volume: numbers(),
    airedVolume: numbers(),
    sealed: new Uint8Array(length),
    suctions: [],
    local: [],
  };
  for (const state of track.states) profile.area[state.layer - track.fromLayer]! += state.areaMm2;
  const sculptedLayer = firstSculptedLayer(track);
  track.states.forEach((state, index) => {
    const known = squeeze === null ? Number.NaN : squeeze.perSpeed[index]!;
    const local = Number.isNaN(known) ? null : { perSpeed: known, feed: squeeze!.feeds[index]! };
    profile.local.push(local);
    profile.suctions.push(addState(profile, track, state, sculptedLayer, setting, local));
  });
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
  local: StateSqueeze | null,
): CupSuction | null {
  const at = state.layer - track.fromLayer;
  const vents = cupVents(state, sculptedEdge(state, sculptedLayer, setting), setting);
  profile.volume[at]! += state.volumeMm3;
  if (vents.some((vent) => vent.inAir)) profile.airedVolume[at]! += state.volumeMm3;
  if (state.areaMm2 <= 0) return null;
  const resistances = vents.map((vent) => vent.resistance);
  const demands = cupDemands(state, setting, local);
  const lobes = lobeFlow(state, vents, setting);
  const mouths = local && mouthFlow(state.areaMm2 * 1e-6, local, vents, setting.resin.viscosity);
  const suction = worstSuction(demands, resistances, setting.resin.viscosity, lobes, mouths);
  profile.suction[at]! += suction.total;
  profile.squeeze[at]! += suction.squeeze;
  if (!state.joined) profile.sealed[at] = 1;
  return suction;
}

function sculptedEdge(state: CupState, sculptedLayer: number, setting: LoadSetting): number {
  return Math.max(sculptedLayer, state.floorLayer) * setting.layerHeight;
}

/** By stage of the lift. A hole of the sculpt as large as the cup leaves no floor for resin to be squeezed over: a ring, a sleeve. */
export function cupDemands(
  state: CupState,
  setting: LoadSetting,
  local: StateSqueeze | null = null,
): CupDemand[] {
  const area = state.areaMm2 * 1e-6;
  const depth = Math.max(state.volumeMm3 / state.areaMm2, setting.layerHeight) * 1e-3;
  const greatestDepth = (state.layer + 1 - state.floorLayer) * setting.layerHeight * 1e-3;
  return setting.stages.map(({ speed, risen }) => ({
    area,
    floorArea: Math.max(0, area - state.sculptedMm2 * 1e-6),
    depth: depth + risen,
    speed,
    local: local && {
      // A floor that is not level gains more by the rise than its mean depth tells: an upper bound.
      perSpeed: local.perSpeed * (depth / (depth + risen)) ** 3,
      greatestDepth: greatestDepth + risen,
    },
  }));
}

/** The way that carries most of the flow of these states of a cup, all of one layer; null when they are sealed. */
export function mainVent(
  track: CupTrack,
  states: readonly CupState[],
  setting: LoadSetting,
): OpeningId | 'mesh' | null {
  const flows = new Map<OpeningId, number>();
  const sculptedLayer = firstSculptedLayer(track);
  for (const state of states) {
    const vents = cupVents(state, sculptedEdge(state, sculptedLayer, setting), setting);
    addFlows(flows, vents, cupDemands(state, setting)[0]!);
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
