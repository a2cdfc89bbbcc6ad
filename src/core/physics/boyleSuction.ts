import { constants } from './constants.ts';

/**
 * Suction in Pa of a cup that holds trapped gas of height `height` (m) after a lift of `travel` (m)
 * with nothing flowing in: p_atm·z/(H + z).
 *
 * Source: Boyle's law, isothermal. Validity: only where air has entered; a cup below the vat's surface
 * holds resin and does not expand.
 */
export function boyleSuction(height: number, travel: number): number {
  return (constants.atmosphere.value * travel) / (height + travel);
}
