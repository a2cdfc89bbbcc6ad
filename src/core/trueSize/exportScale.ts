import type { Vec3 } from '../vector.ts';
import type { TrueSize } from './trueSize.ts';

/** By what a part is drawn larger along each axis of the print frame, so that it comes out at its size. */
export function exportScale({ shrinkage: [x, y, z] }: Pick<TrueSize, 'shrinkage'>): Vec3 {
  return [1 / (1 - x), 1 / (1 - y), 1 / (1 - z)];
}
