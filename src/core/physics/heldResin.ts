import type { CupTrack } from '../layers/cupTrack.ts';
import { type CupProfile, firstSculptedLayer } from './cupProfile.ts';
import type { LoadSetting } from './loadSetting.ts';
import { plateSideEdge } from './printedOpening.ts';

/**
 * Adds to `held` (mm³ per layer, all layers of the print; from `tail`, changes that last to the end) the
 * resin that one cup lifts above the vat's surface like an inverted glass, and returns its worst layer's.
 *
 * Held is the void printed so long ago that it lies higher than the resin is deep, unless air can come
 * in through a mouth that is itself above the surface. Its volume is the cup's own of that many layers
 * ago: exact for one limb; where limbs have merged it is shared among them by volume. After the last
 * layer of the cup the closed hollow goes on rising full until one of its chamber's openings is in air,
 * and from then holds what `trappedMm3` says stays. The vat is taken as full: conservative.
 */
export function addHeldResin(
  track: CupTrack,
  profile: CupProfile,
  trappedMm3: number,
  setting: LoadSetting,
  held: { readonly perLayer: Float64Array; readonly tail: Float64Array },
): number {
  const submergedLayers = Math.ceil(setting.resinDepth / setting.layerHeight - 1e-9);
  const release = releaseLayer(track, setting);
  const whole = Math.min(setting.layers, track.toLayer + submergedLayers + 1);
  const raised = risen(profile, whole - track.fromLayer, submergedLayers);
  let worst = 0;
  for (let layer = track.fromLayer; layer < whole; layer++) {
    const at = layer - track.fromLayer;
    const amount = heldNow(profile, at, raised[at]!, layer >= release, trappedMm3);
    held.perLayer[layer]! += amount;
    worst = Math.max(worst, amount);
  }
  return Math.max(worst, addTail(held.tail, whole, release, total(profile), trappedMm3));
}

/** Void of the cup above the resin's surface per layer, index 0 = its first layer. */
function risen(profile: CupProfile, length: number, submergedLayers: number): Float64Array {
  const raised = new Float64Array(Math.max(0, length));
  let volume = 0;
  for (let at = submergedLayers; at < raised.length; at++) {
    volume = Math.max(volume, profile.volume[at - submergedLayers] ?? 0);
    raised[at] = volume;
  }
  return raised;
}

function heldNow(
  profile: CupProfile,
  at: number,
  raised: number,
  released: boolean,
  trappedMm3: number,
): number {
  if (at >= profile.volume.length) return released ? Math.min(raised, trappedMm3) : raised;
  const volume = profile.volume[at]!;
  return volume > 0 ? Math.min(raised, volume) * (1 - profile.airedVolume[at]! / volume) : 0;
}

function total(profile: CupProfile): number {
  return profile.volume.reduce((largest, volume) => Math.max(largest, volume), 0);
}

/** From layer `from` on the whole void is above the surface: what it holds changes once, at `release`. */
function addTail(
  tail: Float64Array,
  from: number,
  release: number,
  volume: number,
  trappedMm3: number,
): number {
  if (from >= tail.length) return 0;
  const kept = Math.min(volume, trappedMm3);
  const first = release <= from ? kept : volume;
  tail[from]! += first;
  if (release > from && release < tail.length) tail[release]! += kept - volume;
  return first;
}

/** First layer after the cup's last at which one of its openings, or the sculpt's hole, is in air. */
function releaseLayer(track: CupTrack, setting: LoadSetting): number {
  let edge = Number.POSITIVE_INFINITY;
  for (const { placed, chamber } of setting.openings) {
    if (track.chamber !== null && chamber === track.chamber) edge = Math.min(edge, plateSideEdge(placed));
  }
  for (let i = track.states.length - 1; i >= 0 && track.states[i]!.layer === track.toLayer; i--) {
    const state = track.states[i]!;
    for (const index of state.openings) edge = Math.min(edge, plateSideEdge(setting.openings[index]!.placed));
    if (state.sculptedMm2 > 0) edge = Math.min(edge, firstSculptedLayer(track) * setting.layerHeight);
  }
  if (track.opensAfter) edge = Math.min(edge, (track.toLayer + 1) * setting.layerHeight);
  const inAir = Math.floor((edge + setting.resinDepth) / setting.layerHeight + 1e-9);
  return Math.max(track.toLayer + 1, inAir);
}
