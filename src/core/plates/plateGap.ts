import { type Border, isCovered } from './borderPoints.ts';

/**
 * How far two parts stand from each other on the plate, mm; 0 where one lies over the other. Between the
 * middles of their outermost cells, less half a cell for each: with cells of a tenth of a millimetre right to
 * −0.04 and +0.24 mm, exact between sides along x or y.
 */
export function plateGap(a: Border, b: Border): number {
  if (liesOver(a, b)) return 0;
  return Math.max(0, nearest(a.points, b.points) - a.halfCell - b.halfCell);
}

/** Whether they overlap by more than half a cell, or one lies within the other; what only touches does not. */
export const liesOver = (a: Border, b: Border): boolean => reachesOver(a, b) || reachesOver(b, a);

/** Told by the middles of outermost cells. */
function reachesOver(over: Border, under: Border): boolean {
  const apart = [0, 1].some(
    (axis) => over.min[axis]! > under.max[axis]! || over.max[axis]! < under.min[axis]!,
  );
  if (apart) return false;
  const { points } = over;
  for (let at = 0; at < points.length; at += 2) {
    if (isCovered(under, points[at]!, points[at + 1]!)) return true;
  }
  return false;
}

/** Both sorted by x: of each point only those no farther away in x than the nearest so far are looked at. */
function nearest(a: Float64Array, b: Float64Array): number {
  let best = Infinity;
  for (let at = 0; at < a.length; at += 2) {
    const [x, y] = [a[at]!, a[at + 1]!];
    const middle = firstFrom(b, x);
    for (let other = middle; other < b.length && (b[other]! - x) ** 2 < best; other += 2) {
      best = Math.min(best, (b[other]! - x) ** 2 + (b[other + 1]! - y) ** 2);
    }
    for (let other = middle - 2; other >= 0 && (b[other]! - x) ** 2 < best; other -= 2) {
      best = Math.min(best, (b[other]! - x) ** 2 + (b[other + 1]! - y) ** 2);
    }
  }
  return Math.sqrt(best);
}

function firstFrom(sorted: Float64Array, x: number): number {
  let low = 0;
  let high = sorted.length / 2;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[2 * middle]! < x) low = middle + 1;
    else high = middle;
  }
  return 2 * low;
}
