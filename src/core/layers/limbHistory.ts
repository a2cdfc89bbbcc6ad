import { findRoot, joinSets, singletons } from '../unionFind.ts';
import type { VoidGraph } from './voidGraph.ts';

/**
 * The limbs that a place in a hollow belongs to as the print goes on (`CupState.limb`): limb[n] from
 * layer[n] on. Limbs meet, so it changes its limb; before layer[0] the place is not printed.
 */
export interface LimbHistory {
  readonly layer: readonly number[];
  readonly limb: readonly number[];
}

/** The histories of some enclosed regions, in their order. One walk over the contacts (union–find). */
export function limbHistories(graph: VoidGraph, regions: ArrayLike<number>): LimbHistory[] {
  const { contactStart, contactBelow, contactAbove, enclosed, regionStart } = graph;
  const parent = singletons(graph.area.length);
  const histories = Array.from(regions, (region) => ({
    region,
    layer: [] as number[],
    limb: [] as number[],
  }));
  for (let layer = 0; layer < graph.layers; layer++) {
    for (let contact = contactStart[layer]!; contact < contactStart[layer + 1]!; contact++) {
      const [below, above] = [contactBelow[contact]!, contactAbove[contact]!];
      if (enclosed[below] === 1 && enclosed[above] === 1) joinSets(parent, below, above);
    }
    for (const { region, layer: layers, limb } of histories) {
      if (region >= regionStart[layer + 1]!) continue;
      const root = findRoot(parent, region);
      if (root === limb.at(-1)) continue;
      layers.push(layer);
      limb.push(root);
    }
  }
  return histories.map(({ layer, limb }) => ({ layer, limb }));
}
