import type { Interrupter } from '../../src/core/interrupter.ts';
import { addToPair, createPairSums } from '../../src/core/layers/pairSums.ts';
import type { Runs } from '../../src/core/rays/runs.ts';

const ROWS_PER_CALL = 1 << 18;

/**
 * Which components of neighbouring layers overlap, and by how many mm². Contacts between layers
 * k−1 and k are `start[k] … start[k+1]`; `start` has layers + 1 entries and start[0] = start[1] = 0.
 */
export interface LayerContacts {
  readonly start: Uint32Array;
  readonly below: Uint32Array;
  readonly above: Uint32Array;
  readonly area: Float64Array;
}

/** Contacts of a region with itself from layer to layer, by the component number of each run. */
export function layerContacts(
  { lattice, offsets, ends }: Runs,
  component: Uint32Array,
  interrupter: Interrupter,
): LayerContacts {
  const { rows, layers, dy } = lattice;
  const start = new Uint32Array(layers + 1);
  const pairs = createPairSums();
  let sinceCall = 0;
  for (let layer = 1; layer < layers; layer++) {
    sinceCall += rows;
    if (sinceCall > ROWS_PER_CALL) {
      sinceCall = 0;
      interrupter(layer / layers);
    }
    for (let row = layer * rows; row < (layer + 1) * rows; row++) {
      let low = offsets[row - rows]!;
      let high = offsets[row]!;
      const lowEnd = offsets[row - rows + 1]!;
      const highEnd = offsets[row + 1]!;
      while (low < lowEnd && high < highEnd) {
        const endLow = ends[2 * low + 1]!;
        const endHigh = ends[2 * high + 1]!;
        const overlap = Math.min(endLow, endHigh) - Math.max(ends[2 * low]!, ends[2 * high]!);
        if (overlap > 0) addToPair(pairs, component[low]!, component[high]!, overlap);
        if (endLow < endHigh) low++;
        else high++;
      }
    }
    start[layer + 1] = pairs.count;
  }
  const count = pairs.count;
  return {
    start,
    below: pairs.first.slice(0, count),
    above: pairs.second.slice(0, count),
    area: pairs.sum.slice(0, count).map((length) => length * dy),
  };
}
