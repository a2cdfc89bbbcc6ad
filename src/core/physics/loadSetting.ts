import type { Machine, Resin } from '../kit/manifest.ts';
import { constants } from './constants.ts';
import type { LoadOpening } from './printedOpening.ts';
import type { Fluid } from './ventResistance.ts';

/** What all cups of a part share. Lengths mm in the print frame unless said. */
export interface LoadSetting {
  readonly layers: number;
  readonly layerHeight: number;
  readonly resinDepth: number;
  /** m/s. */
  readonly speed: number;
  readonly resin: Fluid;
  readonly air: Fluid;
  /** m: length of a hole through the part's wall where no opening tells it. */
  readonly wallBore: number;
  /** N. */
  readonly suctionLimit: number;
  /** Layers under the limit after which a limb counts as breathing for good. */
  readonly breatheLayers: number;
  readonly openings: readonly LoadOpening[];
}

/** m/s at which a layer leaves the film: the first stage of the lift, the one that breaks it loose. */
export function separationSpeed(machine: Pick<Machine, 'lift'>): number {
  return machine.lift.up / 60000;
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
