import type { PlacedOpening } from '../openings/opening.ts';
import { boreSegments } from './boreSegments.ts';
import type { LightFacts } from './lightPasses.ts';

/** All tubes of a part's lights as short cylinders, as openings are cut from layers. Print frame. */
export function lightBores(lights: readonly LightFacts[]): PlacedOpening[] {
  return lights.flatMap(({ name, points, radiusMm }) => boreSegments(points, radiusMm, `lights/${name}`));
}
