import { type CellMap, squaredDistances } from './squaredDistances.ts';

/** Centre (in cells) and diameter (in cells) of the largest disc that fits a region of cells. */
export interface Disc {
  readonly column: number;
  readonly row: number;
  readonly diameter: number;
}

/** The largest disc inside a cell map. Its diameter is right to about one cell; the map's border counts as outside. */
export function largestDisc(map: CellMap): Disc {
  const squared = squaredDistances(map);
  let best = 0;
  for (let at = 1; at < squared.length; at++) if (squared[at]! > squared[best]!) best = at;
  const greatest = squared[best] ?? 0;
  if (!(greatest > 0)) return { column: 0, row: 0, diameter: 0 };
  const column = best % map.width;
  return { column, row: (best - column) / map.width, diameter: 2 * Math.sqrt(greatest) - 1 };
}
