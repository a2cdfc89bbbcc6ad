import { cellLookup } from './cellLookup.ts';
import { cellMiddle } from './cellMiddle.ts';
import { aroundSteps } from './cellSteps.ts';
import type { ChamberCells } from './chamberCells.ts';

/** A neck has ended where this much more fits than in its narrowest place … */
const WIDER = 1.2;
/** … which in front of a round hole in a plane wall lies this many of its radii away: √(1.2² − 1). */
const MOUTH_RADII = Math.sqrt(WIDER * WIDER - 1);

/**
 * How far a neck stays about as narrow as it is at the cells `from` and `to` on its two sides, mm: from
 * there, in either lobe, to where a ball of 1.2 times its radius first fits, less what that takes in front
 * of a mere hole, whose length is 0.
 */
export function neckLength(
  cells: ChamberCells,
  lobeOf: Uint16Array,
  from: number,
  to: number,
  radiusMm: number,
): number {
  const lookup = cellLookup(cells);
  const way = [from, to].reduce(
    (sum, start) => sum + wayToWider(cells, lookup, lobeOf, start, WIDER * radiusMm),
    cells.spacing,
  );
  return Math.max(0, way - 2 * MOUTH_RADII * radiusMm);
}

/**
 * Distance from a cell to the nearest of those that are wide enough, in the first ring of cells around it
 * that has any; cells go on within one lobe. As far as they go where nothing wider is met.
 */
function wayToWider(
  cells: ChamberCells,
  lookup: Int32Array,
  lobeOf: Uint16Array,
  start: number,
  widerMm: number,
): number {
  const { index, clearance, size } = cells;
  const steps = aroundSteps(size);
  const origin = cellMiddle(cells, start);
  const known = new Set([start]);
  let ring = [start];
  let farthest = 0;
  while (ring.length > 0) {
    let nearest = Infinity;
    const next: number[] = [];
    for (const place of ring) {
      const middle = cellMiddle(cells, place);
      const distance = Math.hypot(middle[0] - origin[0], middle[1] - origin[1], middle[2] - origin[2]);
      farthest = Math.max(farthest, distance);
      if (clearance[place]! >= widerMm) nearest = Math.min(nearest, distance);
      for (const step of steps) {
        const other = lookup[index[place]! + step]!;
        if (other < 0 || lobeOf[other] !== lobeOf[place] || known.has(other)) continue;
        known.add(other);
        next.push(other);
      }
    }
    if (nearest < Infinity) return nearest;
    ring = next;
  }
  return farthest;
}
