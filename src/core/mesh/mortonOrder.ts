import { type Interrupter, portion } from '../interrupter.ts';
import { blockFacets, type FacetSource, forEachBlock } from './facetSource.ts';

/** Cells along the longest side: fine enough that the facets of one fit the nearer caches. */
const cellBits = 6;
const cellsAcross = 1 << cellBits;
const facetsPerTick = 1 << 15;

/**
 * The facets along a Morton curve (Morton 1966, from memory) through the cells that their first
 * corners lie in; those of one cell stay in their order. A counting sort, linear.
 */
export function mortonOrder(source: FacetSource, interrupter: Interrupter): Uint32Array {
  const cell = cellOfFacets(source, portion(interrupter, 0, 0.8));
  const start = new Uint32Array(cellsAcross ** 3 + 1);
  for (let f = 0; f < cell.length; f++) start[cell[f]! + 1]!++;
  for (let c = 1; c < start.length; c++) start[c]! += start[c - 1]!;
  const order = new Uint32Array(cell.length);
  for (let f = 0; f < cell.length; f++) order[start[cell[f]!]!++] = f;
  return order;
}

function cellOfFacets(source: FacetSource, interrupter: Interrupter): Uint32Array {
  const words = new Int32Array(9 * blockFacets);
  const corner = new Float32Array(words.buffer);
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  forEachBlock(source, null, (facets, first) => {
    if (first % facetsPerTick === 0) interrupter((0.5 * first) / source.count);
    source.read(facets, words);
    for (let axis = 0; axis < 3; axis++) {
      for (let at = axis; at < 9 * facets.length; at += 9) {
        const value = corner[at]!;
        if (value < low[axis]!) low[axis] = value;
        if (value > high[axis]!) high[axis] = value;
      }
    }
  });
  const size = Math.max(high[0]! - low[0]!, high[1]! - low[1]!, high[2]! - low[2]!);
  // A little less than all, so that the greatest stays in the last cell; no numbers fall to cell 0.
  const scale = (cellsAcross * (1 - 2 ** -40)) / size;
  const spread = spreadBits();
  const cell = new Uint32Array(source.count);
  forEachBlock(source, null, (facets, first) => {
    if (first % facetsPerTick === 0) interrupter(0.5 + (0.5 * first) / source.count);
    source.read(facets, words);
    for (let i = 0, at = 0; i < facets.length; i++, at += 9) {
      const x = ((corner[at]! - low[0]!) * scale) | 0;
      const y = ((corner[at + 1]! - low[1]!) * scale) | 0;
      const z = ((corner[at + 2]! - low[2]!) * scale) | 0;
      cell[first + i] = spread[x]! | (spread[y]! << 1) | (spread[z]! << 2);
    }
  });
  return cell;
}

/** Bit b of the argument at bit 3·b. */
function spreadBits(): Uint32Array {
  const spread = new Uint32Array(cellsAcross);
  for (let value = 0; value < cellsAcross; value++) {
    for (let bit = 0; bit < cellBits; bit++) spread[value]! |= ((value >> bit) & 1) << (3 * bit);
  }
  return spread;
}
