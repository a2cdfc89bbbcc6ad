import { constants } from './constants.ts';

/**
 * The suction in N that an area of `area` m² can feel at most: one standard atmosphere over it. A
 * sealed cup is taken at this bound; it is an upper bound, since film and walls give way before.
 * The head of resin above (about 0.3 % for 30 mm) is left out.
 */
export function atmosphericCap(area: number): number {
  return constants.atmosphere.value * area;
}
