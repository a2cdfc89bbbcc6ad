import { type Interrupter, portion } from '../interrupter.ts';
import type { Vec3 } from '../vector.ts';
import { blockFacets, type FacetSource, forEachBlock } from './facetSource.ts';

/** Cells along the longest side: fine enough that the facets of one fit the nearer caches. */
const cellBits = 6;
const cellsAcross = 1 << cellBits;
const facetsPerTick = 1 << 15;
const sampleStep = 16;

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
  const { low, size } = sampledBounds(source);
  const [lowX, lowY, lowZ] = low;
  const scale = cellsAcross / size;
  const spread = spreadBits();
  const words = new Int32Array(9 * blockFacets);
  const corner = new Float32Array(words.buffer);
  const cell = new Uint32Array(source.count);
  forEachBlock(source, null, (facets, first) => {
    if (first % facetsPerTick === 0) interrupter(first / source.count);
    source.read(facets, words);
    for (let i = 0, at = 0; i < facets.length; i++, at += 9) {
      const x = spread[clamped((corner[at]! - lowX) * scale)]!;
      const y = spread[clamped((corner[at + 1]! - lowY) * scale)]!;
      const z = spread[clamped((corner[at + 2]! - lowZ) * scale)]!;
      cell[first + i] = x | (y << 1) | (z << 2);
    }
  });
  return cell;
}

/** What is no number falls to cell 0, what lies outside the bounds to the nearest. */
const clamped = (along: number): number => Math.max(0, Math.min(cellsAcross - 1, along | 0));

/** Bounds of the first corners of every sixteenth facet: near enough to share the cells out. */
function sampledBounds(source: FacetSource): { readonly low: Vec3; readonly size: number } {
  const facets = new Uint32Array(1);
  const words = new Int32Array(9);
  const corner = new Float32Array(words.buffer);
  const low: [number, number, number] = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let f = 0; f < source.count; f += sampleStep) {
    facets[0] = f;
    source.read(facets, words);
    for (let axis = 0; axis < 3; axis++) {
      const value = corner[axis]!;
      if (value < low[axis]!) low[axis] = value;
      if (value > high[axis]!) high[axis] = value;
    }
  }
  return { low, size: Math.max(high[0]! - low[0], high[1]! - low[1], high[2]! - low[2]) };
}

/** Bit b of the argument at bit 3·b. */
function spreadBits(): Uint32Array {
  const spread = new Uint32Array(cellsAcross);
  for (let value = 0; value < cellsAcross; value++) {
    for (let bit = 0; bit < cellBits; bit++) spread[value]! |= ((value >> bit) & 1) << (3 * bit);
  }
  return spread;
}
