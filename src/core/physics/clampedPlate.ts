/** A flat round panel held at its rim, SI units: radius and thickness m, modulus Pa. */
export interface Plate {
  readonly radius: number;
  readonly thickness: number;
  readonly modulus: number;
  readonly poisson: number;
}

/**
 * Greatest stress in Pa, at the rim, of a clamped plate under `pressure` Pa: 0.75·p·R²/t².
 *
 * Source: Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells. Validity: small deflection;
 * beyond, the membrane carries a share and this is too much.
 */
export function clampedPlateStress(plate: Pick<Plate, 'radius' | 'thickness'>, pressure: number): number {
  return 0.75 * pressure * (plate.radius / plate.thickness) ** 2;
}

/**
 * Deflection in m of the middle by linear theory, p·R⁴/(64·D) with D = E·t³/(12·(1 − ν²)); `valid` is
 * false from half the thickness on, where `clampedPlateLargeDeflection` holds instead.
 *
 * Source: as above.
 */
export function clampedPlateDeflection(
  plate: Plate,
  pressure: number,
): { readonly deflection: number; readonly valid: boolean } {
  const stiffness = (plate.modulus * plate.thickness ** 3) / (12 * (1 - plate.poisson ** 2));
  const deflection = (pressure * plate.radius ** 4) / (64 * stiffness);
  return { deflection, valid: deflection < plate.thickness / 2 };
}

/**
 * Deflection in m of the middle with the membrane's share, the rim held: the root x = w/t of
 * p·R⁴/(E·t⁴) = [5.33·x + 2.6·x³]/(1 − ν²).
 *
 * Source: the form in Roark's Formulas for Stress and Strain, coefficients from memory. The left side is
 * increasing and convex in x, so Newton from the linear deflection descends to the root.
 */
export function clampedPlateLargeDeflection(plate: Plate, pressure: number): number {
  const load = (1 - plate.poisson ** 2) * (pressure / plate.modulus) * (plate.radius / plate.thickness) ** 4;
  let x = load / 5.33;
  for (let step = 0; step < 100; step++) {
    const next = x - (5.33 * x + 2.6 * x ** 3 - load) / (5.33 + 7.8 * x * x);
    if (!(next < x * (1 - 1e-12))) break;
    x = next;
  }
  return x * plate.thickness;
}

/**
 * Stress in Pa at the rim with the membrane's share, the rim held: (E·t²/R²)·(4·x/(1 − ν²) + 1.73·x²) at
 * the deflection x = w/t of `clampedPlateLargeDeflection`. For small x it is 0.75·p·R²/t².
 *
 * Source: the form in Roark's Formulas for Stress and Strain, coefficients from memory.
 */
export function clampedPlateLargeStress(plate: Plate, pressure: number): number {
  const x = clampedPlateLargeDeflection(plate, pressure) / plate.thickness;
  const bending = (4 * x) / (1 - plate.poisson ** 2);
  return plate.modulus * (plate.thickness / plate.radius) ** 2 * (bending + 1.73 * x * x);
}
