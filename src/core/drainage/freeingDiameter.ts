import { constants } from '../physics/constants.ts';
import type { WettingLiquid } from './wettingLiquid.ts';

/** Holes are proposed from this on, mm. */
const LEAST_HOLE_MM = 2;

/**
 * Diameter in mm of a hole, at the lowest point of a pond, that holds back no more than its lowest tenth:
 * 4·γ/(ρ·g·h) (Young–Laplace, full wetting). A pond shallower than the capillary length √(γ/(ρ·g)) is a
 * film that no hole draws off whole: a hole of four such lengths, which holds back one, is enough there.
 */
export function freeingDiameter(lastTenthMm: number, { surfaceTension, density }: WettingLiquid): number {
  const squareMm2 = (1e6 * surfaceTension) / (density * constants.gravity.value);
  const capillaryMm = Math.sqrt(squareMm2);
  return Math.max(LEAST_HOLE_MM, (4 * squareMm2) / Math.max(lastTenthMm, capillaryMm));
}
