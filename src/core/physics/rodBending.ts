/**
 * Bending of a round rod (Euler–Bernoulli beam, source: any strength of materials). Diameter and lengths
 * m, moment N·m, force N, stresses and modulus Pa. Validity: slender rods, elastic.
 */

/** Greatest stress: 32·M/(π·d³). */
export function rodStress(moment: number, diameter: number): number {
  return (32 * moment) / (Math.PI * diameter ** 3);
}

/** Least diameter that keeps the stress at `strength`/`safety`. */
export function rodDiameter(moment: number, strength: number, safety: number): number {
  return Math.cbrt((32 * moment * safety) / (Math.PI * strength));
}

/** Deflection of the loaded end of a cantilever: F·L³/(3·E·I), I = π·d⁴/64. */
export function rodDeflection(force: number, length: number, modulus: number, diameter: number): number {
  return (64 * force * length ** 3) / (3 * Math.PI * modulus * diameter ** 4);
}
