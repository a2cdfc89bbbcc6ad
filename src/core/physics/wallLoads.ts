import type { CupState, CupTrack } from '../layers/cupTrack.ts';
import type { LimbHistory } from '../layers/limbHistory.ts';
import type { OpeningId } from '../openings/opening.ts';
import type { Vec3 } from '../vector.ts';
import type { WallPanel } from '../walls/wallPanel.ts';
import { constants } from './constants.ts';
import { type CupProfile, cupDemands, mainVent } from './cupProfile.ts';
import type { LoadSetting } from './loadSetting.ts';
import type { StateSqueeze } from './mouthFlow.ts';
import { type PanelState, type PanelStuff, panelState, risingPanelState } from './panelStrength.ts';
import { requiredDiameter } from './requiredDiameter.ts';

/** A panel as it stands on the plate, print frame, mm. */
export interface PosedPanel {
  readonly panel: WallPanel;
  readonly at: Vec3;
  /** z of its unit normal out of the hollow: 1 towards the film, −1 towards the plate. */
  readonly outwardZ: number;
  /** How far it reaches in a level direction. */
  readonly levelMm: number;
  readonly bottom: number;
  readonly top: number;
  /** Of the void in front of it: at its middle and near its ends, as far as the lattice shows it. */
  readonly limbs: readonly LimbHistory[];
}

/** What a wall is judged by. */
export interface WallSetting {
  readonly stuff: PanelStuff;
  /** mm that a wall may bend. */
  readonly flexMm: number;
  /** Cups under this are nobody's load, mm². */
  readonly leastCupMm2: number;
  /** kPa of peel on solid area. */
  readonly peelKpa: number;
  /** Steeper over the plate than this no support holds a wall. */
  readonly selfSupportDeg: number;
}

/** A panel at the layer that strains it most. */
export interface WallLoad extends PanelState {
  readonly panel: WallPanel;
  /** Print frame. */
  readonly at: Vec3;
  /** The pressure is a cup's suction, or the film's peel on a wall that lies flat under it. */
  readonly load: 'suction' | 'peel';
  /** The suction is that of a cup while it is sealed: the atmosphere's, an upper bound. */
  readonly sealed: boolean;
  readonly layer: number;
  readonly pressureKpa: number;
  /** It is still being printed in that layer, so its rim at the film is free. */
  readonly rising: boolean;
  /** Of the limits on stress, buckling and deflection the largest share that is used. */
  readonly strain: number;
  /** The limit that is. */
  readonly passes: 'stress' | 'buckling' | 'deflection';
  /** kPa it bears within all limits. */
  readonly bearsKpa: number;
  /** Least wall in whole tenths that bears the pressure, its bores longer by as much; null where none up to five times the wall does. */
  readonly neededWallMm: number | null;
  /** One round vent that holds every load under what the panel bears; null where none would, or none need. */
  readonly ventMm: number | null;
  /** Through which most of the cup's flow goes in that layer. */
  readonly vent: OpeningId | 'mesh' | null;
  /** Where the limb starts that pulls on it, print frame; null for the peel. */
  readonly limbAt: Vec3 | null;
}

/** Walls told in the report; the most strained. */
export const MOST_WALLS = 12;
/** A panel lies flat under the film within this. Engineering choice. */
const FLAT_COSINE = Math.cos((10 * Math.PI) / 180);
/** A panel that lies flatter than this does not rise by layers but comes all at once. */
const LEAST_STEEPNESS = 0.1;
/** Less than this share of its limits is nothing to tell. */
const LEAST_STRAIN = 0.01;

/**
 * Every wall of every chamber at the layer that strains it most, the most strained first: also those
 * printed long before, since the suction of a limb acts in all of its void. A wall is loaded by the limbs it
 * has belonged to (`LimbHistory`), with their mean suction, while they are open: sealed, the film gives way
 * before one atmosphere acts, and the cup itself is the fault. A wall whose limbs are never open is told with
 * the atmosphere (`sealed`). Walls that face the plate are held by it or by supports, and not judged; a curved
 * wall is not judged before it is printed.
 *
 * Layers times panels of plain comparisons; the rest only for the walls that are told.
 */
export function wallLoads(
  panels: readonly PosedPanel[],
  tracks: readonly CupTrack[],
  profiles: readonly CupProfile[],
  setting: LoadSetting,
  walls: WallSetting,
): WallLoad[] {
  const downward = -Math.cos((walls.selfSupportDeg * Math.PI) / 180);
  const states = limbStates(panels, tracks, profiles, walls.leastCupMm2);
  return panels
    .filter(({ outwardZ }) => outwardZ > downward)
    .flatMap((posed) => {
      const worst =
        worstOf([worstSuction(posed, states, false, setting, walls), peelLoad(posed, setting, walls)]) ??
        worstSuction(posed, states, true, setting, walls);
      return worst === null || worst.strain < LEAST_STRAIN ? [] : { posed, worst };
    })
    .sort((a, b) => b.worst.strain - a.worst.strain)
    .slice(0, MOST_WALLS)
    .map(({ posed, worst }) => toldLoad(posed, worst, states, setting, walls));
}

/** A limb at one layer: its mean suction, and the squeeze's part of it. */
interface LimbState {
  readonly track: CupTrack;
  readonly state: CupState;
  readonly kpa: number;
  readonly squeezeKpa: number;
  readonly local: StateSqueeze | null;
}

/** By limb, layer by layer; of the limbs that walls have belonged to. */
type LimbStates = ReadonlyMap<number, readonly LimbState[]>;

function limbStates(
  panels: readonly PosedPanel[],
  tracks: readonly CupTrack[],
  profiles: readonly CupProfile[],
  leastCupMm2: number,
): LimbStates {
  const byLimb = new Map<number, LimbState[]>();
  for (const { limbs } of panels) for (const { limb } of limbs) for (const one of limb) byLimb.set(one, []);
  if (byLimb.size === 0) return byLimb;
  tracks.forEach((track, n) => {
    track.states.forEach((state, at) => {
      const suction = profiles[n]!.suctions[at];
      const list = byLimb.get(state.limb);
      if (list === undefined || !suction || state.areaMm2 < leastCupMm2) return;
      const kpa = (suction.total / state.areaMm2) * 1e3;
      const squeezeKpa = (suction.squeeze / state.areaMm2) * 1e3;
      list.push({ track, state, kpa, squeezeKpa, local: profiles[n]!.local[at]! });
    });
  });
  return byLimb;
}

/** What strains a panel most: `risenMm` of it are printed, null = all; `from` = null: the film's peel. */
interface PanelLoad {
  readonly from: LimbState | null;
  readonly kpa: number;
  readonly layer: number;
  readonly risenMm: number | null;
  readonly result: PanelState;
  readonly strain: number;
  readonly passes: WallLoad['passes'];
}

const worstOf = (loads: readonly (PanelLoad | null)[]): PanelLoad | null =>
  loads.reduce((a, b) => (a === null || (b !== null && b.strain > a.strain) ? b : a), null);

function worstSuction(
  posed: PosedPanel,
  states: LimbStates,
  sealed: boolean,
  setting: LoadSetting,
  walls: WallSetting,
): PanelLoad | null {
  // Strain grows with the pressure: on a whole panel the greatest is the worst, on a rising one its share per kPa decides too.
  const whole = { kpa: 0, from: null as LimbState | null };
  const rising = { strain: 0, risenMm: 0, from: null as LimbState | null };
  forLoads(posed, states, sealed, setting, (from, risenMm) => {
    if (risenMm === null) {
      if (from.kpa > whole.kpa) Object.assign(whole, { kpa: from.kpa, from });
      return;
    }
    const strain = from.kpa * risingStrain(posed, risenMm, walls);
    if (strain > rising.strain) Object.assign(rising, { strain, risenMm, from });
  });
  const load = (from: LimbState | null, risenMm: number | null): PanelLoad | null =>
    from && panelLoad(posed, from, from.kpa, from.state.layer, risenMm, walls);
  return worstOf([load(whole.from, null), load(rising.from, rising.risenMm)]);
}

/** Calls with every state of a limb that loads a panel, while the limb is sealed or while it is open. */
function forLoads(
  { bottom, top, outwardZ, limbs, panel }: PosedPanel,
  states: LimbStates,
  sealed: boolean,
  { layerHeight }: LoadSetting,
  visit: (from: LimbState, risenMm: number | null) => void,
): void {
  const steepness = Math.sqrt(1 - outwardZ * outwardZ);
  const rises = panel.shape === 'flat' && steepness > LEAST_STEEPNESS;
  for (const { layer, limb } of limbs) {
    for (let n = 0; n < limb.length; n++) {
      for (const from of states.get(limb[n]!) ?? []) {
        const at = from.state.layer;
        // A limb that has gone under in another has no more states.
        if (at < layer[n]! || from.state.joined === sealed) continue;
        const film = (at + 1) * layerHeight;
        if (film >= top) visit(from, null);
        else if (rises && film > bottom) visit(from, (film - bottom) / steepness);
      }
    }
  }
}

function panelLoad(
  posed: PosedPanel,
  from: LimbState | null,
  kpa: number,
  layer: number,
  risenMm: number | null,
  walls: WallSetting,
): PanelLoad {
  const result = stateUnder(posed, risenMm, kpa, walls.stuff);
  return { from, kpa, layer, risenMm, result, ...strainOf(result, kpa, walls) };
}

/** The film pulls on a wall that lies flat under it with the peel of solid area, at the last when its whole thickness is there. */
function peelLoad(posed: PosedPanel, setting: LoadSetting, walls: WallSetting): PanelLoad | null {
  if (posed.outwardZ < FLAT_COSINE || posed.panel.shape !== 'flat') return null;
  const layer = Math.floor((posed.top + walls.stuff.wallMm) / setting.layerHeight) - 1;
  const inPrint = Math.max(0, Math.min(layer, setting.layers - 1));
  return panelLoad(posed, null, walls.peelKpa, inPrint, null, walls);
}

/** By 1 kPa; it grows in proportion. */
function risingStrain({ levelMm }: PosedPanel, risenMm: number, walls: WallSetting): number {
  return strainOf(risingPanelState(levelMm, risenMm, 1, walls.stuff), 1, walls).strain;
}

function strainOf(
  { stressMpa, deflectionMm, bucklesKpa }: PanelState,
  kpa: number,
  { stuff, flexMm }: WallSetting,
): Pick<WallLoad, 'strain' | 'passes'> {
  const shares = [
    { passes: 'stress', strain: stressMpa / stuff.strength },
    { passes: 'buckling', strain: bucklesKpa === null ? 0 : kpa / bucklesKpa },
    { passes: 'deflection', strain: deflectionMm / flexMm },
  ] as const;
  return shares.reduce((a, b) => (b.strain > a.strain ? b : a));
}

function toldLoad(
  posed: PosedPanel,
  { from, kpa, layer, risenMm, result, strain, passes }: PanelLoad,
  states: LimbStates,
  setting: LoadSetting,
  walls: WallSetting,
): WallLoad {
  const sealed = from !== null && !from.state.joined;
  const open = sealed ? null : from;
  // Bores through a thicker wall are longer: at most in proportion (Hagen–Poiseuille).
  const kpaAt = (wallMm: number): number =>
    open === null ? kpa : Math.min((kpa * wallMm) / walls.stuff.wallMm, constants.atmosphere.value * 1e-3);
  return {
    ...result,
    strain,
    passes,
    panel: posed.panel,
    at: posed.at,
    load: from === null ? 'peel' : 'suction',
    sealed,
    layer,
    pressureKpa: kpa,
    rising: risenMm !== null,
    bearsKpa: bears(posed, risenMm, walls),
    neededWallMm: neededWall(posed, risenMm, kpaAt, walls),
    ventMm: open !== null && strain > 1 ? ventFor(posed, states, setting, walls) : null,
    vent: open && mainVent(open.track, [open.state], setting),
    limbAt: from?.state.floorAt ?? null,
  };
}

function stateUnder(posed: PosedPanel, risenMm: number | null, kpa: number, stuff: PanelStuff): PanelState {
  return risenMm === null
    ? panelState(posed.panel, kpa, stuff)
    : risingPanelState(posed.levelMm, risenMm, kpa, stuff);
}

/** kPa, up to one atmosphere. Strain grows with pressure, so halving finds it. */
function bears(posed: PosedPanel, risenMm: number | null, walls: WallSetting): number {
  const strain = (kpa: number): number =>
    strainOf(stateUnder(posed, risenMm, kpa, walls.stuff), kpa, walls).strain;
  let low = 0;
  let high = constants.atmosphere.value * 1e-3;
  if (strain(high) <= 1) return high;
  for (let step = 0; step < 40; step++) {
    const middle = (low + high) / 2;
    if (strain(middle) <= 1) low = middle;
    else high = middle;
  }
  return low;
}

const MOST_THICKENING = 5;

/** `kpa` by the thickness of the wall in mm. */
function neededWall(
  posed: PosedPanel,
  risenMm: number | null,
  kpaAt: (wallMm: number) => number,
  walls: WallSetting,
): number | null {
  const { wallMm } = walls.stuff;
  for (let tenths = Math.ceil(10 * wallMm - 1e-6); tenths <= 10 * MOST_THICKENING * wallMm; tenths++) {
    const stuff = { ...walls.stuff, wallMm: tenths / 10 };
    const kpa = kpaAt(stuff.wallMm);
    if (strainOf(stateUnder(posed, risenMm, kpa, stuff), kpa, walls).strain <= 1) return stuff.wallMm;
  }
  return null;
}

/** mm. Over all loads that are more than the panel bears; null as soon as the squeeze alone is. */
function ventFor(
  posed: PosedPanel,
  states: LimbStates,
  setting: LoadSetting,
  walls: WallSetting,
): number | null {
  const whole = bears(posed, null, walls);
  let most: number | null = 0;
  let hardest: { area: number; held: number } | null = null;
  forLoads(posed, states, false, setting, ({ state, kpa, squeezeKpa, local }, risenMm) => {
    const held = risenMm === null ? whole : 1 / risingStrain(posed, risenMm, walls);
    if (most === null || kpa <= held) return;
    if (squeezeKpa >= held) most = null;
    // The squeeze only falls as the hollow gets deeper.
    else if (hardest === null || state.areaMm2 > hardest.area || held < hardest.held) {
      hardest = { area: state.areaMm2, held };
      for (const demand of cupDemands(state, setting, local)) {
        const limitN = held * 1e3 * demand.area;
        const diameter = requiredDiameter(demand, setting.wallBore, setting.resin, limitN);
        most = diameter === null || most === null ? null : Math.max(most, diameter * 1e3);
      }
    }
  });
  return most;
}
