import { constants } from './constants.ts';

/**
 * Seconds to drain a hollow of constant cross-section `area` (m²) from `height` (m) above a hole of
 * `holeArea` (m²), a second hole letting air in: A/(C_d·a)·√(2·h/g).
 *
 * Source: Torricelli with a discharge coefficient. Validity: thin liquids; resin is slower, see
 * `drainTime.ts`.
 */
export function torricelliTime(area: number, height: number, holeArea: number): number {
  const discharge = constants.discharge.value * holeArea;
  return (area / discharge) * Math.sqrt((2 * height) / constants.gravity.value);
}
