/**
 * Compression in N at which a round strut buckles: π²·E·I/(K·L)², I = π·d⁴/64. Lengths m, modulus Pa;
 * `fixity` K is 1 with hinged ends, 0.5 with clamped, 2 with one end free.
 *
 * Source: Euler 1744. Validity: slender (K·L/(d/4) above about 80 for resin), straight.
 */
export function eulerStrut(diameter: number, length: number, modulus: number, fixity: number): number {
  return (Math.PI ** 3 * modulus * diameter ** 4) / (64 * (fixity * length) ** 2);
}
