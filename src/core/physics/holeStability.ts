import { constants } from './constants.ts';

/** First zeros of J₁′ and J₁ (Abramowitz & Stegun, tables 9.5). */
const freeRimRoot = 1.841183781;
const pinnedRimRoot = 3.83170597;

/**
 * Diameters in m below which liquid over a single hole in a closed cavity can hang without air getting
 * in: with a contact line that is free to move and with one pinned at the rim, 2·root·√(γ/(ρ·g)).
 * Surface tension N/m, density kg/m³.
 *
 * Source: Rayleigh–Taylor stability in a circular hole, from memory. Tilting or shaking breaks it: below
 * is "not dependable", not "impossible".
 */
export function holeStability(
  surfaceTension: number,
  density: number,
): { readonly freeRim: number; readonly pinnedRim: number } {
  const capillaryLength = Math.sqrt(surfaceTension / (density * constants.gravity.value));
  return { freeRim: 2 * freeRimRoot * capillaryLength, pinnedRim: 2 * pinnedRimRoot * capillaryLength };
}
