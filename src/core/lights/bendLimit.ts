import type { Carried } from './light.ts';

/**
 * Least radius at the inside of a bend, mm: the builder's own, or by rule. Fibre: 15 diameters, for rest without pull
 * where no data sheet says otherwise (US Federal Standard 1037C, minimum bend radius, note 3). Cable: 5 diameters (NEC
 * 334.24, written for house cable; from memory).
 */
export function bendLimitMm({ kind, diameter, bendRadius }: Carried): number {
  return bendRadius ?? bendDiameters[kind] * diameter;
}

export const bendDiameters = { fibre: 15, cable: 5 } as const;

/** How much of a tube what lies in it may fill: NEC chapter 9, table 1; from memory. */
export function mostFilled(count: number): number {
  if (count === 1) return 0.53;
  return count === 2 ? 0.31 : 0.4;
}
