import type { Interrupter } from '../core/interrupter.ts';
import type { LightBore } from '../core/lights/light.ts';
import { lightCurve } from '../core/lights/lightCurve.ts';
import { type LightFacts, lightPasses } from '../core/lights/lightPasses.ts';
import type { OpenablePart } from '../core/openings/openablePart.ts';

/** What lights do in a part; print frame. One whose points are all the same is none. */
export function measureLights(
  lights: readonly LightBore[],
  part: OpenablePart,
  interrupter: Interrupter,
): LightFacts[] {
  return lights.flatMap((light) => {
    const curve = lightCurve(light.path.map(part.toPrint), light.radiusMm + light.liningMm);
    return curve === null ? [] : [lightPasses(curve, light, part, interrupter)];
  });
}
