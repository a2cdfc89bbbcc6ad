import type { CupState, CupTrack } from '../layers/cupTrack.ts';
import { type CupProfile, cupDemands, mainVent } from './cupProfile.ts';
import type { CupSuction } from './cupSuction.ts';
import type { LoadSetting } from './loadSetting.ts';
import type { StateSqueeze } from './mouthFlow.ts';
import type { LimbStretch } from './partLoads.ts';
import { requiredDiameter } from './requiredDiameter.ts';

/** A stretch that may still go on. m for the vent. */
interface Running {
  readonly start: LimbStretch['start'];
  readonly passesLayer: number;
  lastLayer: number;
  peak: CupSuction;
  peakLayer: number;
  squeezeFreeLayer: number;
  vent: number;
  /** The limb in which it began, and the one in which it goes on. */
  readonly startLimb: string;
  limb: string;
}

/**
 * The longest stretch of every limb over which its suction is above the limit, in order of their first
 * layers. A limb is above it by itself, or as the strongest of limbs that together are. A stretch ends
 * once the limb stays under for more than `breatheLayers`; where a limb that is above ends and another
 * one goes on above, they have met and it is one stretch.
 */
export function limbStretches(track: CupTrack, profile: CupProfile, setting: LoadSetting): LimbStretch[] {
  const lastLayer = new Map<string, number>();
  for (const state of track.states) lastLayer.set(limbOf(state), state.layer);
  const strongest = strongestStates(track, profile);
  const running = new Map<string, Running>();
  const longest = new Map<string, Running>();
  track.states.forEach((state, index) => {
    const suction = profile.suctions[index];
    if (!suction) return;
    const at = state.layer - track.fromLayer;
    const allowed = allowedSuction(suction.total, profile.suction[at]!, strongest[at] === index, setting);
    if (allowed === null) return;
    const limb = limbOf(state);
    const stretch = goesOn(running, lastLayer, limb, state, setting) ?? begun(state, suction, limb);
    running.set(limb, stretch);
    extend(stretch, state, suction, profile.local[index]!, allowed, setting);
    const kept = longest.get(stretch.startLimb);
    if (kept === undefined || layersOf(stretch) > layersOf(kept)) longest.set(stretch.startLimb, stretch);
  });
  return [...longest.values()]
    .sort((a, b) => a.passesLayer - b.passesLayer)
    .map((stretch) => asTold(stretch, track, setting));
}

const limbOf = ({ floorLayer, floorAt }: CupState): string => `${floorLayer}:${floorAt.join()}`;
const layersOf = ({ passesLayer, lastLayer }: Running): number => lastLayer + 1 - passesLayer;

/** Per layer of the cup the index of the state that pulls most. */
function strongestStates(track: CupTrack, profile: CupProfile): Int32Array {
  const strongest = new Int32Array(profile.area.length).fill(-1);
  profile.suctions.forEach((suction, index) => {
    const at = track.states[index]!.layer - track.fromLayer;
    const best = profile.suctions[strongest[at]!];
    if (suction && (!best || suction.total > best.total)) strongest[at] = index;
  });
  return strongest;
}

/** N that a limb may pull with where it is above its limit; null where it is not. */
function allowedSuction(
  own: number,
  together: number,
  isStrongest: boolean,
  { suctionLimit }: LoadSetting,
): number | null {
  if (own > suctionLimit) return suctionLimit;
  return isStrongest && together > suctionLimit ? (suctionLimit * own) / together : null;
}

/** The stretch of this limb, or of one that has just met it, whichever passed the limit first. */
function goesOn(
  running: Map<string, Running>,
  lastLayer: ReadonlyMap<string, number>,
  limb: string,
  { layer }: CupState,
  { breatheLayers }: LoadSetting,
): Running | null {
  let first: Running | null = null;
  for (const [name, stretch] of running) {
    const isOwn = name === limb && layer - stretch.lastLayer - 1 <= breatheLayers;
    const hasMet = name !== limb && stretch.lastLayer === layer - 1 && lastLayer.get(name) === layer - 1;
    if (hasMet) running.delete(name);
    if ((isOwn || hasMet) && (first === null || stretch.passesLayer < first.passesLayer)) first = stretch;
  }
  if (first !== null) first.limb = limb;
  return first;
}

function begun(state: CupState, peak: CupSuction, limb: string): Running {
  return {
    start: { layer: state.floorLayer, at: state.floorAt },
    passesLayer: state.layer,
    lastLayer: state.layer,
    peak,
    peakLayer: state.layer,
    squeezeFreeLayer: state.layer,
    vent: 0,
    startLimb: limb,
    limb,
  };
}

function extend(
  stretch: Running,
  state: CupState,
  suction: CupSuction,
  local: StateSqueeze | null,
  allowed: number,
  setting: LoadSetting,
): void {
  stretch.lastLayer = state.layer;
  if (suction.total > stretch.peak.total) {
    stretch.peak = suction;
    stretch.peakLayer = state.layer;
  }
  const diameter = worstDiameter(state, local, allowed, setting);
  if (diameter === null) stretch.squeezeFreeLayer = state.layer + 1;
  stretch.vent = diameter === null ? 0 : Math.max(stretch.vent, diameter);
}

/** m, for every stage of the lift; null when no vent would do in one of them. */
function worstDiameter(
  state: CupState,
  local: StateSqueeze | null,
  allowed: number,
  setting: LoadSetting,
): number | null {
  let worst = 0;
  for (const demand of cupDemands(state, setting, local)) {
    const diameter = requiredDiameter(demand, setting.wallBore, setting.resin, allowed);
    if (diameter === null) return null;
    worst = Math.max(worst, diameter);
  }
  return worst;
}

function asTold(stretch: Running, track: CupTrack, setting: LoadSetting): LimbStretch {
  const { start, passesLayer, lastLayer, peak, peakLayer, squeezeFreeLayer, vent, limb } = stretch;
  const mainVentIn = (layer: number) => {
    const there = track.states.filter((state) => state.layer === layer);
    const own = there.filter((state) => limbOf(state) === limb);
    return mainVent(track, own.length > 0 ? own : there, setting);
  };
  return {
    start,
    passesLayer,
    layers: layersOf(stretch),
    peakPullN: peak.total,
    peakPullLayer: peakLayer,
    liftStage: peak.stage + 1,
    squeezePullN: peak.squeeze,
    openingsPullN: peak.openings,
    necksPullN: peak.necks,
    squeezeFreeLayer,
    ventMm: squeezeFreeLayer > lastLayer ? null : vent * 1000,
    breather: mainVentIn(lastLayer + 1) ?? mainVentIn(lastLayer),
  };
}
