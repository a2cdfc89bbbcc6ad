import { diametersMm } from '../openings/diameters.ts';
import { drainTime } from '../physics/drainTime.ts';
import type { Fluid } from '../physics/ventResistance.ts';

/** A chamber that stands as long as this over its drain is emptied by no builder; engineering choice. */
const LONGEST_S = 300;
/** Level at which what is left counts as a film on the walls, m. */
const FILM_M = 0.005;

/**
 * The narrowest diameter in mm through which a chamber runs empty in five minutes while another opening lets
 * air in, taken as a column of its volume and height; the widest that is proposed where none does.
 */
export function drainDiameter(volumeMm3: number, heightMm: number, wallMm: number, fluid: Fluid): number {
  const from = Math.max(heightMm * 1e-3, 2 * FILM_M);
  const column = { area: (volumeMm3 * 1e-9) / from, length: wallMm * 1e-3, from, to: FILM_M };
  return (
    diametersMm.find((diameter) => drainTime({ ...column, diameter: diameter * 1e-3 }, fluid) <= LONGEST_S) ??
    diametersMm.at(-1)!
  );
}
