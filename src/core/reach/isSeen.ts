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
  const away = Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
  const steps = Math.max(1, Math.ceil(away / (STEP * spacing)));
  // In cells, from the corner of the box.
  const x0 = (from[0] - origin[0]) / spacing;
  const y0 = (from[1] - origin[1]) / spacing;
  const z0 = (from[2] - origin[2]) / spacing;
  const dx = (to[0] - from[0]) / (spacing * steps);
  const dy = (to[1] - from[1]) / (spacing * steps);
  const dz = (to[2] - from[2]) / (spacing * steps);
  let entered = false;
  for (let n = 0; n <= steps; n++) {
    const x = Math.floor(x0 + dx * n);
    const y = Math.floor(y0 + dy * n);
    const z = Math.floor(z0 + dz * n);
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
