import type { Interrupter } from '../interrupter.ts';
import { findRoot, numberSets, singletons } from '../unionFind.ts';
import { cellLookup } from './cellLookup.ts';
import { faceSteps } from './cellSteps.ts';
import type { ChamberCells } from './chamberCells.ts';

/** A neck divides two lobes when it is narrower than this part of the lesser one's inscribed radius. */
const NECK_SHARE = 0.6;
/** A lobe whose inscribed radius is under this many cells is not resolved, and goes with its neighbour. */
const LEAST_CELLS = 2;
/** Clearances within this part of a cell count as one: finer differences are the distance transform's own. */
const LEVEL_CELLS = 1 / 16;
const CALL_MASK = 0xffff;

/**
 * The lobe of every cell, and how many there are, numbered in the order of their first cells.
 *
 * Watershed by flooding from the widest places down (Vincent & Soille 1991, on clearance instead of
 * height): cells are taken by falling clearance, each goes with the deepest cell beside it, and one
 * without any begins a lobe. Where two meet at a cell of clearance c, they are one when c is at least 0.6
 * of the inscribed radius of the lesser one, or when that one is narrower than four cells across;
 * otherwise what they meet at is a neck. Two balls with a bore of half their radius between them are two
 * lobes; a capsule, a box, a limb that tapers to a foot are one. The rule compares lengths only, so it
 * does not depend on the part's size. The share is an engineering choice: the drop of a bore of 0.6 of the
 * radius is about eight times that of the same length of the lobe (d⁴), of one of 0.9 not twice.
 */
export function findLobes(
  cells: ChamberCells,
  interrupter: Interrupter,
): { readonly lobeOf: Uint16Array; readonly count: number } {
  const { index, chamber, clearance, size, spacing } = cells;
  const lookup = cellLookup(cells);
  const steps = faceSteps(size);
  const basin = singletons(index.length);
  const peak = Float32Array.from(clearance);
  const flooded = new Uint8Array(index.length);
  const order = byFallingClearance(clearance, spacing * LEVEL_CELLS);
  for (let n = 0; n < order.length; n++) {
    if ((n & CALL_MASK) === 0) interrupter(n / order.length);
    const place = order[n]!;
    flooded[place] = 1;
    let deepest = -1;
    for (const step of steps) {
      const other = lookup[index[place]! + step]!;
      if (other < 0 || flooded[other] === 0 || chamber[other] !== chamber[place]) continue;
      if (deepest < 0 || clearance[other]! > clearance[deepest]!) deepest = other;
    }
    if (deepest < 0) continue;
    basin[place] = findRoot(basin, deepest);
    for (const step of steps) {
      const other = lookup[index[place]! + step]!;
      if (other < 0 || flooded[other] === 0 || chamber[other] !== chamber[place]) continue;
      meet(basin, peak, findRoot(basin, place), findRoot(basin, other), clearance[place]!, spacing);
    }
  }
  joinSpecks(basin, peak, chamber, LEAST_CELLS * spacing);
  return numbered(basin);
}

/** What is left of unresolved basins, cells that touch no others of their chamber, goes with its widest lobe. */
function joinSpecks(basin: Uint32Array, peak: Float32Array, chamber: Uint16Array, least: number): void {
  const widest = new Map<number, number>();
  for (let place = 0; place < basin.length; place++) {
    if (basin[place] !== place) continue;
    const before = widest.get(chamber[place]!);
    if (before === undefined || peak[place]! > peak[before]!) widest.set(chamber[place]!, place);
  }
  for (let place = 0; place < basin.length; place++) {
    if (basin[place] === place && peak[place]! < least) basin[place] = widest.get(chamber[place]!)!;
  }
}

/** Makes two basins one where they meet at clearance `at`, unless that is a neck. A root is its basin's deepest cell. */
function meet(
  basin: Uint32Array,
  peak: Float32Array,
  one: number,
  other: number,
  at: number,
  spacing: number,
): void {
  if (one === other) return;
  const isFirst = peak[one]! > peak[other]! || (peak[one] === peak[other] && one < other);
  const [greater, lesser] = isFirst ? [one, other] : [other, one];
  if (at < NECK_SHARE * peak[lesser]! && peak[lesser]! >= LEAST_CELLS * spacing) return;
  basin[lesser] = greater;
}

/** Numbers basins in the order of their first cells, whatever their roots. */
function numbered(basin: Uint32Array): { lobeOf: Uint16Array; count: number } {
  const firstOf = new Map<number, number>();
  const first = new Uint32Array(basin.length);
  for (let place = 0; place < basin.length; place++) {
    const root = findRoot(basin, place);
    if (!firstOf.has(root)) firstOf.set(root, place);
    first[place] = firstOf.get(root)!;
  }
  const { label, count } = numberSets(first);
  return { lobeOf: Uint16Array.from(label), count };
}

/** Places by level of clearance, the widest first, in the order of the list within a level (counting sort). */
function byFallingClearance(clearance: Float32Array, level: number): Uint32Array {
  let most = 0;
  for (const value of clearance) most = Math.max(most, value);
  const levels = Math.floor(most / level) + 1;
  const levelOf = (place: number): number => levels - 1 - Math.floor(clearance[place]! / level);
  const start = new Uint32Array(levels + 1);
  for (let place = 0; place < clearance.length; place++) start[levelOf(place) + 1]!++;
  for (let n = 0; n < levels; n++) start[n + 1]! += start[n]!;
  const order = new Uint32Array(clearance.length);
  for (let place = 0; place < clearance.length; place++) order[start[levelOf(place)]!++] = place;
  return order;
}
