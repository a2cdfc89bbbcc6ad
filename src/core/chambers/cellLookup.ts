import type { ChamberCells } from './chamberCells.ts';

/** Place in the list of every cell of the box by its index, −1 where it lies in no chamber. */
export function cellLookup({ size, index }: Pick<ChamberCells, 'size' | 'index'>): Int32Array {
  const lookup = new Int32Array(size[0] * size[1] * size[2]).fill(-1);
  for (let place = 0; place < index.length; place++) lookup[index[place]!] = place;
  return lookup;
}
