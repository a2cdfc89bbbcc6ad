import { findRoot, joinSets, singletons } from '../unionFind.ts';
import { add, normalized, scale, subtract } from '../vector.ts';
import { cellLookup } from './cellLookup.ts';
import { cellMiddle } from './cellMiddle.ts';
import { aroundSteps } from './cellSteps.ts';
import type { ChamberCells } from './chamberCells.ts';
import type { Lobe, Neck } from './chamberNetwork.ts';

/** Width of a passage that no cell resolves, as a part of a cell: anything from 0 to 1. */
const UNRESOLVED_CELLS = 0.5;

/**
 * Necks for lobes that no neck joins to the rest of their chamber. A chamber hangs together, so they are
 * joined by a passage narrower than a cell: a neck half a cell wide, from each to the nearest lobe of the
 * rest, until all are joined.
 */
export function looseNecks(
  cells: ChamberCells,
  lobeOf: Uint16Array,
  lobes: readonly Lobe[],
  necks: readonly Neck[],
): Neck[] {
  const parent = singletons(lobes.length);
  for (const { a, b } of necks) joinSets(parent, a, b);
  const mainOf = new Map<number, number>();
  lobes.forEach(({ chamber, volumeMm3 }, lobe) => {
    const main = mainOf.get(chamber);
    if (main === undefined || volumeMm3 > lobes[main]!.volumeMm3) mainOf.set(chamber, lobe);
  });
  const found: Neck[] = [];
  for (let lobe = 0; lobe < lobes.length; lobe++) {
    while (findRoot(parent, lobe) !== findRoot(parent, mainOf.get(lobes[lobe]!.chamber)!)) {
      const neck = nearestBeyond(cells, lobeOf, parent, findRoot(parent, lobe));
      if (neck === null) break;
      joinSets(parent, neck.a, neck.b);
      found.push(neck);
    }
  }
  return found;
}

/** The passage from the lobes of `group` to the nearest cell of their chamber outside it, in rings over all cells of the box. */
function nearestBeyond(
  cells: ChamberCells,
  lobeOf: Uint16Array,
  parent: Uint32Array,
  group: number,
): Neck | null {
  const { index, chamber, size } = cells;
  const lookup = cellLookup(cells);
  const steps = aroundSteps(size);
  const startOf = new Map<number, number>();
  for (let place = 0; place < index.length; place++) {
    if (findRoot(parent, lobeOf[place]!) === group) startOf.set(index[place]!, place);
  }
  let ring = [...startOf.keys()];
  while (ring.length > 0) {
    const next: number[] = [];
    for (const at of ring) {
      const start = startOf.get(at)!;
      for (const step of steps) {
        const other = at + step;
        if (other < 0 || other >= lookup.length || startOf.has(other)) continue;
        const place = lookup[other]!;
        if (place >= 0 && chamber[place] === chamber[start]) return passage(cells, lobeOf, start, place);
        startOf.set(other, start);
        next.push(other);
      }
    }
    ring = next;
  }
  return null;
}

function passage(cells: ChamberCells, lobeOf: Uint16Array, start: number, end: number): Neck {
  const [from, to] = lobeOf[start]! < lobeOf[end]! ? [start, end] : [end, start];
  const [p, q] = [cellMiddle(cells, from), cellMiddle(cells, to)];
  const radiusMm = (UNRESOLVED_CELLS / 2) * cells.spacing;
  const between = subtract(q, p);
  return {
    a: lobeOf[from]!,
    b: lobeOf[to]!,
    at: scale(add(p, q), 0.5),
    direction: normalized(between),
    areaMm2: Math.PI * radiusMm * radiusMm,
    radiusMm,
    hydraulicMm: 2 * radiusMm,
    lengthMm: Math.hypot(...between),
    ends: [p, q],
  };
}
