/**
 * Saint-Venant torsion constants J in m⁴. The pressure under a plate that leaves a liquid film obeys
 * the same equation as the stress function of a twisted bar of the same cross-section (Reynolds 1886,
 * Saint-Venant 1855): the force is 3·µ·v·J/h³ for any simply connected shape, see `stefanForce.ts`.
 * The closed forms are those of Timoshenko & Goodier, Theory of Elasticity, ch. 10. Lengths in m.
 */

export function discTorsion(radius: number): number {
  return (Math.PI / 2) * radius ** 4;
}

/** `a`, `b`: semi-axes. */
export function ellipseTorsion(a: number, b: number): number {
  return (Math.PI * a ** 3 * b ** 3) / (a * a + b * b);
}

/** Full sides, in any order. The series falls as n⁻⁵: 20 odd terms leave an error below 1e-9 of J. */
export function rectangleTorsion(sideA: number, sideB: number): number {
  const long = Math.max(sideA, sideB);
  const short = Math.min(sideA, sideB);
  let sum = 0;
  for (let n = 1; n < 40; n += 2) sum += Math.tanh((n * Math.PI * long) / (2 * short)) / n ** 5;
  return long * short ** 3 * (1 / 3 - (64 / Math.PI ** 5) * (short / long) * sum);
}

/** A long thin strip, `width` ≪ `length`: its ends are neglected (error 0.63·width/length of J, too much). */
export function stripTorsion(length: number, width: number): number {
  return (length * width ** 3) / 3;
}
