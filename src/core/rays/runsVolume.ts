import { layerAreas } from './layerAreas.ts';
import type { Runs } from './runs.ts';

/** Volume of a region, mm³. */
export function runsVolume(runs: Runs): number {
  let area = 0;
  for (const layerArea of layerAreas(runs)) area += layerArea;
  return area * runs.lattice.dz;
}
