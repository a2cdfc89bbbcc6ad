import type { Vec3 } from '../vector.ts';

/** How a bounding box lies in what the machine has. */
export interface BoxFit {
  readonly fits: boolean;
  /** It may be made this many times as large before it no longer fits. */
  readonly growth: number;
  /** The axis that is used up first: 0 and 1 along the plate, 2 in height. */
  readonly short: 0 | 1 | 2;
}

/** By so much a part may be too large for the machine: float32 coordinates at 300 mm are 3e-5 mm apart. */
export const plateToleranceMm = 1e-3;

/** mm along x, y and z, of the box and of the machine with margins and raise taken off. */
export function boxFit(sizeMm: Vec3, room: Vec3): BoxFit {
  const growths = sizeMm.map((size, axis) => (size > 0 ? room[axis]! / size : Infinity));
  const growth = Math.min(...growths);
  const fits = sizeMm.every((size, axis) => size <= room[axis]! + plateToleranceMm);
  return { fits, growth, short: growths.indexOf(growth) as 0 | 1 | 2 };
}
