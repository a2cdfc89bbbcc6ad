import type { Resin } from '../kit/manifest.ts';

/** Grams of `curedMm3` mm³ of cured resin. */
export function curedMass(curedMm3: number, resin: Pick<Resin, 'density'>): number {
  return (curedMm3 / 1000) * resin.density;
}

/** mm³ of liquid that cure to `curedMm3` mm³: mass stays, so the densities' ratio. */
export function liquidVolume(curedMm3: number, resin: Pick<Resin, 'density' | 'liquidDensity'>): number {
  return (curedMm3 * resin.density) / resin.liquidDensity;
}
