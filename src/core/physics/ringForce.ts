import type { ParallelGap } from './stefanForce.ts';

/**
 * Separation force in N of a flat ring (radii in m) whose inner edge is at ambient pressure:
 * 3·π·µ·v/(2·h³) · [R₂⁴ − R₁⁴ − (R₂² − R₁²)²/ln(R₂/R₁)].
 *
 * Source: Reynolds' equation in polar coordinates with both edges at ambient, integrated; the torsion
 * of a slit thick tube. Validity: as `stefanForce.ts`, 0 < inner < outer.
 */
export function ventedRingForce(outer: number, inner: number, film: ParallelGap): number {
  const squares = outer ** 2 - inner ** 2;
  return factor(film) * (outer ** 4 - inner ** 4 - squares ** 2 / Math.log(outer / inner));
}

/**
 * The same ring closed above, so that all resin for the growing hollow passes under the wall:
 * 3·π·µ·v/(2·h³) · (R₂⁴ − R₁⁴), the suction on the hollow's roof included. For a thin wall w it is
 * 3·(Rₘ/w)² times the vented force, as a closed tube in torsion is to a slit one.
 */
export function sealedRingForce(outer: number, inner: number, film: ParallelGap): number {
  return factor(film) * (outer ** 4 - inner ** 4);
}

function factor(film: ParallelGap): number {
  return (3 * Math.PI * film.viscosity * film.speed) / (2 * film.gap ** 3);
}
