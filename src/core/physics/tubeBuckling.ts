/** A round tube under net outside pressure, SI units: mean radius, thickness, length m, modulus Pa. */
export interface Tube {
  readonly radius: number;
  readonly thickness: number;
  readonly modulus: number;
  readonly poisson: number;
}

/**
 * Buckling pressure in Pa of a long open tube: E/(4·(1 − ν²))·(t/R)³.
 *
 * Source: Bresse 1866 / Lévy 1884, from memory. Validity: long against its diameter, thin wall.
 */
export function longTubeBuckling(tube: Tube): number {
  return (tube.modulus / (4 * (1 - tube.poisson ** 2))) * (tube.thickness / tube.radius) ** 3;
}

/**
 * Buckling pressure in Pa of a tube of `length` m with held ends:
 * 2.42·E·(t/D)^2.5 / [(1 − ν²)^0.75 · (L/D − 0.45·√(t/D))].
 *
 * Source: Windenburg & Trilling 1934, from memory. Validity: short tubes, both ends round and stiff.
 */
export function shortTubeBuckling(tube: Tube, length: number): number {
  const diameter = 2 * tube.radius;
  const thinness = tube.thickness / diameter;
  const slenderness = length / diameter - 0.45 * Math.sqrt(thinness);
  return (2.42 * tube.modulus * thinness ** 2.5) / ((1 - tube.poisson ** 2) ** 0.75 * slenderness);
}
