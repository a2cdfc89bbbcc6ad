import { chainWithin } from '../lights/chainWithin.ts';
import type { LightBore } from '../lights/light.ts';
import { lightCurve } from '../lights/lightCurve.ts';
import { stretchesInside } from '../lights/lightPasses.ts';
import type { SurfaceIndex } from '../openings/surfaceIndex.ts';
import type { CutSide } from './cutDecision.ts';
import { type CutPlane, inPlane } from './cutPlane.ts';

/** The chain's error within the part does not matter here. */
const REACH = 1;
/** A tube that reaches no further over the plane, source units, lies in the other half. */
const OVER = 1e-3;

/** Of each light the halves of a part that its middle line runs in; both where it never enters the part. Source coordinates. */
export function lightsByHalf(
  lights: readonly LightBore[],
  surface: SurfaceIndex,
  plane: CutPlane,
): { readonly name: string; readonly halves: readonly CutSide[] }[] {
  return lights.map(({ name, path }) => {
    const curve = lightCurve(path, REACH);
    const inside = curve === null ? [] : stretchesInside(curve, surface);
    const heights = inside
      .flatMap((pass) => chainWithin(curve!.points, pass))
      .flatMap(({ from, to }) => [inPlane(plane, from)[2], inPlane(plane, to)[2]]);
    const halves: CutSide[] = [];
    if (heights.some((height) => height < -OVER)) halves.push('back');
    if (heights.some((height) => height > OVER)) halves.push('front');
    return { name, halves: halves.length === 0 ? ['back', 'front'] : halves };
  });
}
