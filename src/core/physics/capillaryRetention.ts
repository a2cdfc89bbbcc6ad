import { constants } from './constants.ts';

/**
 * What a hole of `diameter` (m) holds back by surface tension (N/m): 4·γ/d in Pa, and that pressure as
 * a head of liquid of `density` (kg/m³) in m. Resin shallower than the head above the hole stays.
 *
 * Source: Young–Laplace, Jurin's law with full wetting. Validity: d well below the capillary length;
 * shaking or a wet outer face lets more through.
 */
export function capillaryRetention(
  diameter: number,
  surfaceTension: number,
  density: number,
): { readonly pressure: number; readonly head: number } {
  const pressure = (4 * surfaceTension) / diameter;
  return { pressure, head: pressure / (density * constants.gravity.value) };
}
