import type { ChamberCells } from '../chambers/chamberCells.ts';
import type { Vec3 } from '../vector.ts';

/** Looks along a line are this part of a cell apart: none is jumped over. */
const STEP = 0.5;

/**
 * Whether a straight line from one point of a chamber to another stays in its cells. What lies before the
 * first cell that it meets is the mouth, and does not hide anything.
 */
export function isSeen(
  { origin, spacing, size }: Pick<ChamberCells, 'origin' | 'spacing' | 'size'>,
  lookup: Int32Array,
  from: Vec3,
  to: Vec3,
): boolean {
  const way = [to[0] - from[0], to[1] - from[1], to[2] - from[2]] as const;
  const steps = Math.max(1, Math.ceil(Math.hypot(...way) / (STEP * spacing)));
  let entered = false;
  for (let n = 0; n <= steps; n++) {
    const x = Math.floor((from[0] + (way[0] * n) / steps - origin[0]) / spacing);
    const y = Math.floor((from[1] + (way[1] * n) / steps - origin[1]) / spacing);
    const z = Math.floor((from[2] + (way[2] * n) / steps - origin[2]) / spacing);
    const inside =
      x >= 0 &&
      y >= 0 &&
      z >= 0 &&
      x < size[0] &&
      y < size[1] &&
      lookup[x + size[0] * (y + size[1] * z)]! >= 0;
    if (inside) entered = true;
    else if (entered) return false;
  }
  return entered;
}
