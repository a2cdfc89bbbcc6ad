import { findRoot, joinSets, singletons } from '../unionFind.ts';
import type { VoidGraph } from './voidGraph.ts';

/**
 * Per enclosed region the limb it belongs to, named by the limb's first region: everything enclosed that is
 * connected with it through layers no further than its own. `fromPlate`: layers from the plate up to its
 * own, as printed so far; `fromFilm`: layers from the last one down to its own, as liquid gathers while the
 * part hangs. A region that is not enclosed is its own.
 */
export interface Limbs {
  readonly fromPlate: Uint32Array;
  readonly fromFilm: Uint32Array;
}

export function limbsOf(graph: VoidGraph): Limbs {
  const up = Array.from({ length: graph.layers }, (_, layer) => layer);
  return { fromPlate: sweep(graph, up, 0, lowest), fromFilm: sweep(graph, up.reverse(), 1, highest) };
}

const lowest = (a: number, b: number): number => Math.min(a, b);
const highest = (a: number, b: number): number => Math.max(a, b);

/** The contacts of layer k + `above` lie between it and the layer that was swept before it. */
function sweep(
  { regionStart, contactStart, contactBelow, contactAbove, enclosed, area }: VoidGraph,
  order: readonly number[],
  above: 0 | 1,
  first: (a: number, b: number) => number,
): Uint32Array {
  const parent = singletons(area.length);
  const firstOf = singletons(area.length);
  const limb = new Uint32Array(area.length);
  for (const layer of order) {
    for (let at = contactStart[layer + above] ?? 0; at < (contactStart[layer + above + 1] ?? 0); at++) {
      const [below, over] = [contactBelow[at]!, contactAbove[at]!];
      if (enclosed[below] === 0 || enclosed[over] === 0) continue;
      const a = findRoot(parent, below);
      const b = findRoot(parent, over);
      if (a === b) continue;
      const start = first(firstOf[a]!, firstOf[b]!);
      firstOf[joinSets(parent, a, b)] = start;
    }
    for (let region = regionStart[layer]!; region < regionStart[layer + 1]!; region++) {
      limb[region] = firstOf[findRoot(parent, region)]!;
    }
  }
  return limb;
}
