import type { Fluid } from '../physics/ventResistance.ts';

/** SI: Pa·s, kg/m³ and N/m. It wets what it runs over: cured resin by liquid resin. */
export interface WettingLiquid extends Fluid {
  readonly surfaceTension: number;
}
