import type { PlateLayout } from './layOutPlate.ts';
import type { PlateLoads } from './plateLoads.ts';

/** What is known of a plate whose parts have all been measured; parts in the manifest's order. */
export interface PlateFacts {
  readonly layout: PlateLayout;
  readonly loads: PlateLoads;
}
