import type { Vec3 } from '../vector.ts';
import type { ChamberCells } from './chamberCells.ts';
import type { ChamberNetwork } from './chamberNetwork.ts';

/** A point within this many cells of a lobe belongs to it: a bore's end lies on the chamber's very wall. */
const REACH_CELLS = 4;

/** The lobe of the listed cell nearest to a point in the frame of the cells; −1 when none is near. */
export function lobeAt(cells: ChamberCells, { lobeOf }: ChamberNetwork, point: Vec3): number {
  const { origin, spacing, size } = cells;
  const [x, y, z] = [0, 1, 2].map((axis) => Math.floor((point[axis]! - origin[axis]!) / spacing)) as [
    number,
    number,
    number,
  ];
  let lobe = -1;
  let least = Infinity;
  for (let k = Math.max(0, z - REACH_CELLS); k <= Math.min(size[2] - 1, z + REACH_CELLS); k++) {
    for (let j = Math.max(0, y - REACH_CELLS); j <= Math.min(size[1] - 1, y + REACH_CELLS); j++) {
      for (let i = Math.max(0, x - REACH_CELLS); i <= Math.min(size[0] - 1, x + REACH_CELLS); i++) {
        const squared = [i, j, k].reduce(
          (sum, at, axis) => sum + (origin[axis]! + (at + 0.5) * spacing - point[axis]!) ** 2,
          0,
        );
        if (squared >= least) continue;
        const place = placeOf(cells, i + size[0] * (j + size[1] * k));
        if (place < 0) continue;
        least = squared;
        lobe = lobeOf[place]!;
      }
    }
  }
  return lobe;
}

/** Place in the list of a cell by its index, by halving; −1 when it is not listed. */
function placeOf({ index }: ChamberCells, cell: number): number {
  let low = 0;
  let high = index.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    if (index[middle]! === cell) return middle;
    if (index[middle]! < cell) low = middle + 1;
    else high = middle - 1;
  }
  return -1;
}
