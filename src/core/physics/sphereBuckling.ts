import { constants } from './constants.ts';

/**
 * Net outside pressure in Pa at which a closed sphere (radius and thickness m, modulus Pa) buckles:
 * `classical` 2·E/√(3·(1 − ν²))·(t/R)², and `design`, that times the knock-down for real shells.
 *
 * Source: Zoelly 1915; the knock-down from memory. Validity: a closed shell. One that is still being
 * printed has a free rim and buckles earlier.
 */
export function sphereBuckling(
  radius: number,
  thickness: number,
  modulus: number,
  poisson: number,
): { readonly classical: number; readonly design: number } {
  const classical = ((2 * modulus) / Math.sqrt(3 * (1 - poisson ** 2))) * (thickness / radius) ** 2;
  return { classical, design: classical * constants.sphereKnockDown.value };
}
