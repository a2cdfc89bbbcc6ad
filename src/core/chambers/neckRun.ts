import { norm, subtract, type Vec3 } from '../vector.ts';
import { cellMiddle } from './cellMiddle.ts';
import { aroundSteps } from './cellSteps.ts';
import type { ChamberCells } from './chamberCells.ts';
import type { Neck } from './chamberNetwork.ts';

/** A neck has ended where this much more fits than in its narrowest place … */
const WIDER = 1.2;
/** … which in front of a round hole in a plane wall lies this many of its radii away: √(1.2² − 1). */
const MOUTH_RADII = Math.sqrt(WIDER * WIDER - 1);

/**
 * How far a neck stays about as narrow as it is at the cells `from` and `to` on its two sides, and where it
 * ends on either: from there, in either lobe, to where a ball of 1.2 times its radius first fits; its length
 * less what that takes in front of a mere hole, whose length is 0.
 */
export function neckRun(
  cells: ChamberCells,
  lookup: Int32Array,
  lobeOf: Uint16Array,
  from: number,
  to: number,
  radiusMm: number,
): Pick<Neck, 'lengthMm' | 'ends'> {
  const ends = [from, to].map((start) =>
    cellMiddle(cells, widerPlace(cells, lookup, lobeOf, start, WIDER * radiusMm)),
  ) as [Vec3, Vec3];
  const way = [from, to].reduce(
    (sum, start, side) => sum + norm(subtract(ends[side]!, cellMiddle(cells, start))),
    cells.spacing,
  );
  return { lengthMm: Math.max(0, way - 2 * MOUTH_RADII * radiusMm), ends };
}

/**
 * The nearest to a cell of those that are wide enough, in the first ring of cells around it that has any;
 * cells go on within one lobe. The farthest met where none is.
 */
function widerPlace(
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
  let farthest = start;
  let farthestMm = 0;
  while (ring.length > 0) {
    let wider = -1;
    let widerAt = Infinity;
    const next: number[] = [];
    for (const place of ring) {
      const distance = norm(subtract(cellMiddle(cells, place), origin));
      if (distance > farthestMm) {
        farthestMm = distance;
        farthest = place;
      }
      if (clearance[place]! >= widerMm && distance < widerAt) {
        widerAt = distance;
        wider = place;
      }
      for (const step of steps) {
        const other = lookup[index[place]! + step]!;
        if (other < 0 || lobeOf[other] !== lobeOf[place] || known.has(other)) continue;
        known.add(other);
        next.push(other);
      }
    }
    if (wider >= 0) return wider;
    ring = next;
  }
  return farthest;
}
