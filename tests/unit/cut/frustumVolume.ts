import { type Frustum, KEY_SIDES } from '../../../src/core/cut/keyShape.ts';

/** Of a prism that leans in evenly: h/3·(A + √(A·a) + a) with the areas of its ends. */
export function frustumVolume({ baseRadius, endRadius, length }: Frustum): number {
  const unitArea = (KEY_SIDES / 2) * Math.sin((2 * Math.PI) / KEY_SIDES);
  return (unitArea * length * (baseRadius ** 2 + baseRadius * endRadius + endRadius ** 2)) / 3;
}
