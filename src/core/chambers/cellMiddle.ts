import type { Vec3 } from '../vector.ts';
import type { ChamberCells } from './chamberCells.ts';

/** Middle of the cell at a place in the list, in the frame of the cells. */
export function cellMiddle(
  { origin, spacing, size, index }: Pick<ChamberCells, 'origin' | 'spacing' | 'size' | 'index'>,
  place: number,
): Vec3 {
  const at = index[place]!;
  const x = at % size[0];
  const row = (at - x) / size[0];
  const y = row % size[1];
  const z = (row - y) / size[1];
  return [origin[0] + (x + 0.5) * spacing, origin[1] + (y + 0.5) * spacing, origin[2] + (z + 0.5) * spacing];
}
