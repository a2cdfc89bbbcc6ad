import { type Interrupter, uninterrupted } from '../interrupter.ts';
import type { Film, Limits, Machine, Resin } from '../kit/manifest.ts';
import type { CupState, CupTrack } from '../layers/cupTrack.ts';
import { atmosphericCap } from './atmosphericCap.ts';
import { constants } from './constants.ts';
import { type CupProfile, cupProfile, mainVent } from './cupProfile.ts';
import type { CupSuction } from './cupSuction.ts';
import { addHeldResin } from './heldResin.ts';
import { limbStretches } from './limbStretches.ts';
import { air, type LoadSetting, type LobeSetting, liftStages, liquidResin } from './loadSetting.ts';
import type { TrackSqueeze } from './localSqueeze.ts';
import type { CupLoad, LimbStretch, PartLoads, SealedLimb } from './partLoads.ts';
import type { LoadOpening } from './printedOpening.ts';
import { printTime } from './printTime.ts';
import { curedMass, liquidVolume } from './resinAmounts.ts';
import { vatLowLayer } from './vatLowLayer.ts';
import { type PosedPanel, type WallSetting, wallLoads } from './wallLoads.ts';

/** Print frame, mm, mm², mm³. `CupState.openings` index `openings`. */
export interface PartLoadsInput {
  readonly layerHeight: number;
  /** mm² of solid per layer, openings uncut (`LayerFigures.area`). */
  readonly areaMm2: Float64Array;
  /** mm² of that which the openings remove, what several share counted once (`cutAreas`). */
  readonly cutMm2: Float64Array;
  readonly tracks: readonly CupTrack[];
  readonly openings: readonly LoadOpening[];
  /** Where chambers have necks. */
  readonly lobes?: LobeSetting | null;
  /** By track; null of cups that are no chambers (`localSqueeze.ts`). */
  readonly squeezes?: readonly (TrackSqueeze | null)[];
  /** Liquid that stays in each chamber in the print attitude. */
  readonly trappedMm3: readonly number[];
  /** Wall of the hollow; null when the part is solid. */
  readonly wallMm: number | null;
  /** Walls to be held against the suction; none when absent. */
  readonly panels?: readonly PosedPanel[];
  /** Cured resin of the part, openings cut. */
  readonly curedMm3: number;
  readonly machine: Pick<Machine, 'lift' | 'exposure' | 'vat' | 'resinDepth' | 'leastResinDepth'>;
  readonly film: Film;
  readonly resin: Pick<Resin, 'density' | 'liquidDensity' | 'viscosity' | 'greenStrength' | 'greenModulus'>;
  readonly limits: Pick<Limits, 'suction' | 'breatheLayers' | 'wallFlex' | 'leastCup' | 'selfSupport'>;
}

/**
 * What printing a part asks of film, resin and time: the pull of every layer, what each cup does, resin,
 * mass and hours. Assumptions: `loadAssumptions` in `constants.ts`; sources: the formula files.
 *
 * A part is printed hanging: the film lies at (k + 1)·h while layer k is made and gravity points from the
 * plate to the film. Each cup is judged as one connected void, or lobe by lobe where its chamber has necks (`lobeFlow.ts`).
 */
export function computePartLoads(input: PartLoadsInput, interrupter: Interrupter = uninterrupted): PartLoads {
  const setting = loadSetting(input);
  const layers = setting.layers;
  const areaMm2 = input.areaMm2.map((area, layer) => Math.max(0, area - input.cutMm2[layer]!));
  const cupAreaMm2 = new Float64Array(layers);
  const suctionN = new Float64Array(layers);
  const held = { perLayer: new Float64Array(layers), tail: new Float64Array(layers) };
  const profiles: CupProfile[] = [];
  const cups = input.tracks.map((track, index) => {
    interrupter(index / input.tracks.length);
    const profile = cupProfile(track, setting, input.squeezes?.[index] ?? null);
    profiles.push(profile);
    addAt(cupAreaMm2, profile.area, track.fromLayer);
    addAt(suctionN, profile.suction, track.fromLayer);
    const trapped = track.chamber === null ? 0 : (input.trappedMm3[track.chamber] ?? 0);
    return cupLoad(track, profile, addHeldResin(track, profile, trapped, setting, held), setting);
  });
  const pullN = layerPull(areaMm2, cupAreaMm2, suctionN, input.film);
  const peakPullLayer = indexOfLargest(pullN);
  const heldMm3 = heldPerLayer(held);
  const takenMm3 = takenFromVat(areaMm2, heldMm3, input);
  return {
    cups,
    areaMm2,
    cupAreaMm2,
    pullN,
    peakPullN: pullN[peakPullLayer] ?? 0,
    peakPullLayer,
    trappedMm3: input.trappedMm3,
    chamberOpenings: input.trappedMm3.map((_, chamber) => openingsOf(chamber, input.openings)),
    curedMm3: input.curedMm3,
    liquidMm3: liquidVolume(input.curedMm3, input.resin),
    heldMm3: heldMm3[indexOfLargest(heldMm3)] ?? 0,
    massG: curedMass(input.curedMm3, input.resin),
    hours: printTime(layers, input.machine.lift, input.machine.exposure) / 3600,
    takenMm3,
    vatLowLayer: vatLowLayer(takenMm3, input.machine),
    walls: wallLoads(input.panels ?? [], input.tracks, profiles, setting, wallSetting(input)),
  };
}

function loadSetting(input: PartLoadsInput): LoadSetting {
  return {
    layers: input.areaMm2.length,
    layerHeight: input.layerHeight,
    resinDepth: input.machine.resinDepth,
    stages: liftStages(input.machine),
    resin: liquidResin(input.resin),
    air,
    wallBore: (input.wallMm ?? constants.sculptedBore.value) * 1e-3,
    suctionLimit: input.limits.suction,
    breatheLayers: input.limits.breatheLayers,
    openings: input.openings,
    lobes: input.lobes ?? null,
  };
}

function wallSetting({ wallMm, resin, film, limits }: PartLoadsInput): WallSetting {
  return {
    stuff: {
      wallMm: wallMm ?? constants.sculptedBore.value,
      strength: resin.greenStrength,
      modulus: resin.greenModulus,
    },
    flexMm: limits.wallFlex,
    leastCupMm2: limits.leastCup,
    peelKpa: film.peel,
    selfSupportDeg: limits.selfSupport,
  };
}

function addAt(sum: Float64Array, values: Float64Array, first: number): void {
  for (let i = 0; i < values.length; i++) sum[first + i]! += values[i]!;
}

/** mm² and N; the film's peel pressure is in kPa: 1 kPa on 1 mm² is 1e-3 N. */
function layerPull(
  area: Float64Array,
  cupArea: Float64Array,
  suction: Float64Array,
  film: Film,
): Float64Array {
  return area.map((solid, layer) => {
    const cap = atmosphericCap((solid + cupArea[layer]!) * 1e-6);
    return Math.min(film.peel * 1e-3 * solid + suction[layer]!, cap);
  });
}

function heldPerLayer(held: { readonly perLayer: Float64Array; readonly tail: Float64Array }): Float64Array {
  let lasting = 0;
  return held.perLayer.map((amount, layer) => {
    lasting += held.tail[layer]!;
    return amount + Math.max(0, lasting);
  });
}

function takenFromVat(area: Float64Array, held: Float64Array, input: PartLoadsInput): Float64Array {
  let cured = 0;
  return area.map((solid, layer) => {
    cured += solid * input.layerHeight;
    return liquidVolume(cured, input.resin) + held[layer]!;
  });
}

function openingsOf(chamber: number, openings: readonly LoadOpening[]): string[] {
  return openings.filter((opening) => opening.chamber === chamber).map((opening) => opening.placed.id);
}

function cupLoad(track: CupTrack, profile: CupProfile, heldMm3: number, setting: LoadSetting): CupLoad {
  const stretches = limbStretches(track, profile, setting);
  const areaPeak = indexOfLargest(profile.area);
  const pullPeak = indexOfLargest(profile.suction);
  const joins = profile.sealed.findIndex((sealed, at) => sealed === 0 && profile.area[at]! > 0);
  const breathes = staysFrom(profile, (at) => isBreathing(profile, at, setting.suctionLimit));
  const opensLayer = track.opensAfter ? track.toLayer + 1 : null;
  const sculpted = track.opensAfter ? 'mesh' : null;
  const layerOf = (at: number | null): number | null => (at === null ? null : track.fromLayer + at);
  return {
    fromLayer: track.fromLayer,
    toLayer: track.toLayer,
    sealedLayers: profile.sealed.reduce((sum, sealed) => sum + sealed, 0),
    sealedLimbs: sealedLimbs(track),
    joinsLayer: layerOf(joins < 0 ? null : joins) ?? opensLayer,
    breathesLayer: layerOf(breathes) ?? opensLayer,
    peakAreaMm2: profile.area[areaPeak] ?? 0,
    peakAreaLayer: track.fromLayer + areaPeak,
    peakPullN: profile.suction[pullPeak] ?? 0,
    peakPullLayer: track.fromLayer + pullPeak,
    breather: breathes === null ? sculpted : mainVent(track, statesIn(track, breathes), setting),
    heldMm3,
    chamber: track.chamber,
    at: track.at,
    squeezePullN: profile.squeeze[pullPeak] ?? 0,
    ...peakCause(track, profile, track.fromLayer + pullPeak, setting),
    neededVentMm: neededVent(stretches),
    stretches,
  };
}

/** What the limb that pulls most at a layer is held back by, and the stage of the lift in which it is. */
function peakCause(
  track: CupTrack,
  profile: CupProfile,
  layer: number,
  setting: LoadSetting,
): Pick<CupLoad, 'limitedBy' | 'liftStage'> {
  let strongest = -1;
  track.states.forEach((state, index) => {
    const total = profile.suctions[index]?.total ?? -1;
    if (state.layer === layer && total > (profile.suctions[strongest]?.total ?? -1)) strongest = index;
  });
  const suction = profile.suctions[strongest];
  if (!suction) return { limitedBy: null, liftStage: 1 };
  const state = track.states[strongest]!;
  return { limitedBy: limitOf(track, state, suction, setting), liftStage: suction.stage + 1 };
}

function limitOf(
  track: CupTrack,
  state: CupState,
  { squeeze, openings, necks }: CupSuction,
  setting: LoadSetting,
): CupLoad['limitedBy'] {
  if (!state.joined) return 'sealed';
  if (squeeze >= openings) return 'squeeze';
  return necks > openings / 2 ? 'neck' : mainVent(track, [state], setting);
}

/** Wide enough for every limb; null when none is over its limit, or one is whatever the vent. */
function neededVent(stretches: readonly LimbStretch[]): number | null {
  let widest: number | null = null;
  for (const { ventMm } of stretches) {
    if (ventMm === null) return null;
    widest = Math.max(widest ?? 0, ventMm);
  }
  return widest;
}

function statesIn(track: CupTrack, at: number): readonly CupState[] {
  return track.states.filter(({ layer }) => layer === track.fromLayer + at);
}

/** Limbs with the layers in which each does not join the outside, the longest first. */
function sealedLimbs({ states }: CupTrack): SealedLimb[] {
  const limbs = new Map<string, SealedLimb>();
  for (const { joined, areaMm2, floorLayer, floorAt } of states) {
    if (joined || areaMm2 <= 0) continue;
    const name = `${floorLayer}:${floorAt.join()}`;
    const before = limbs.get(name);
    const peakAreaMm2 = Math.max(areaMm2, before?.peakAreaMm2 ?? 0);
    limbs.set(name, {
      start: { layer: floorLayer, at: floorAt },
      layers: 1 + (before?.layers ?? 0),
      peakAreaMm2,
      peakPullN: atmosphericCap(peakAreaMm2 * 1e-6),
    });
  }
  return [...limbs.values()].sort((a, b) => b.layers - a.layers);
}

function isBreathing(profile: CupProfile, at: number, limit: number): boolean {
  return profile.sealed[at] === 0 && profile.suction[at]! <= limit;
}

/** First layer of the cup from which `holds` is true at every layer where it has area; null when not at its last. */
function staysFrom(profile: CupProfile, holds: (at: number) => boolean): number | null {
  let first: number | null = null;
  for (let at = profile.area.length - 1; at >= 0; at--) {
    if (profile.area[at]! <= 0) continue;
    if (!holds(at)) break;
    first = at;
  }
  return first;
}

/** Index of the first of the largest values; 0 when there are none. */
function indexOfLargest(values: Float64Array): number {
  let best = 0;
  for (let i = 1; i < values.length; i++) if (values[i]! > values[best]!) best = i;
  return best;
}
