import type { LimbLobes } from '../chambers/limbLobes.ts';
import type { Machine, Resin } from '../kit/manifest.ts';
import { constants } from './constants.ts';
import type { LoadOpening } from './printedOpening.ts';
import type { Fluid } from './ventResistance.ts';

/** What all cups of a part share. Lengths mm in the print frame unless said. */
export interface LoadSetting {
  readonly layers: number;
  readonly layerHeight: number;
  readonly resinDepth: number;
  /** Of the lift, in order: each may be the one in which a cup pulls most. */
  readonly stages: readonly LiftStage[];
  readonly resin: Fluid;
  readonly air: Fluid;
  /** m: length of a hole through the part's wall where no opening tells it. */
  readonly wallBore: number;
  /** N. */
  readonly suctionLimit: number;
  /** Layers under the limit after which a limb counts as breathing for good. */
  readonly breatheLayers: number;
  readonly openings: readonly LoadOpening[];
  /** Null where every limb is one void. */
  readonly lobes: LobeSetting | null;
}

/** The lobes of a part's limbs, and the lobe that each opening joins: −1 where none is known. */
export interface LobeSetting {
  readonly limbs: LimbLobes;
  readonly openingLobe: Int32Array;
}

/** One stage of the lift: its speed in m/s, and how far the part has risen when it begins, m. */
export interface LiftStage {
  readonly speed: number;
  readonly risen: number;
}

/** A layer leaves the film in the first stage; a cup may still hold on to it when the second begins. */
export function liftStages({ lift }: Pick<Machine, 'lift'>): LiftStage[] {
  const first = { speed: lift.up / 60000, risen: 0 };
  if (lift.second === null) return [first];
  return [first, { speed: lift.second.up / 60000, risen: lift.distance * 1e-3 }];
}

export function liquidResin(resin: Pick<Resin, 'viscosity' | 'liquidDensity'>): Fluid {
  return { viscosity: resin.viscosity * 1e-3, density: resin.liquidDensity * 1e3 };
}

export const air: Fluid = { viscosity: constants.airViscosity.value, density: constants.airDensity.value };

/** Where the film lies while layer `layer` is made, and whether a mouth's edge at `edge` is then in air. */
export function filmHeight(setting: Pick<LoadSetting, 'layerHeight'>, layer: number): number {
  return (layer + 1) * setting.layerHeight;
}

export function isInAir(setting: LoadSetting, edge: number, layer: number): boolean {
  return filmHeight(setting, layer) - edge > setting.resinDepth;
}
