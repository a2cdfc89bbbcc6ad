import type { Interrupter } from '../interrupter.ts';
import { blockFacets, type FacetSource, forEachBlock } from './facetSource.ts';
import type { Mesh } from './mesh.ts';

export interface ExactWeld {
  readonly mesh: Mesh;
  /** False when a corner is infinite or not a number. */
  readonly finite: boolean;
  /** At least two entries a vertex, free for further use: fresh memory costs more than the sums done in it. */
  readonly scratch: Int32Array;
}

const facetsPerTick = 1 << 15;
const cornersPerBlock = 3 * blockFacets;

/**
 * Corners whose three float32 values are equal (−0 = +0) become one vertex; vertices are numbered as
 * they come. Facets are taken in the given order, or as they stand.
 */
export function weldExactly(
  source: FacetSource,
  order: Uint32Array | null,
  interrupter: Interrupter,
): ExactWeld {
  const triangles = new Uint32Array(3 * source.count);
  const words = new Int32Array(9 * blockFacets);
  const table = tableFor(source.count);
  forEachBlock(source, order, (facets, first) => {
    if (first % facetsPerTick === 0) interrupter(first / source.count);
    source.read(facets, words);
    makeRoom(table);
    numberCorners(table, words, triangles, 3 * first, 3 * (first + facets.length));
  });
  const positions = positionsOf(table);
  return { mesh: { positions, triangles }, finite: table.finite, scratch: table.slots };
}

interface VertexTable {
  /** Three float32 bit patterns a vertex. */
  bits: Int32Array<ArrayBuffer>;
  /**
   * Open addressing, at most half full: 0 = free, else vertex + 1 in the bits of the slot number and
   * the rest of the hash above, so that hardly ever a vertex is looked at in vain.
   */
  slots: Int32Array<ArrayBuffer>;
  count: number;
  finite: boolean;
}

/** Room for a closed mesh of few shells, which has half as many vertices as facets. */
function tableFor(facets: number): VertexTable {
  const vertices = Math.ceil(facets / 2) + cornersPerBlock;
  return {
    bits: new Int32Array(3 * (vertices + (vertices >>> 7))),
    slots: new Int32Array(2 ** Math.ceil(Math.log2(2 * vertices))),
    count: 0,
    finite: true,
  };
}

/** For one more block, whatever it holds. */
function makeRoom(table: VertexTable): void {
  const most = table.count + cornersPerBlock;
  if (3 * most > table.bits.length) {
    const larger = new Int32Array(Math.max(3 * most, Math.ceil(table.bits.length * 1.5)));
    larger.set(table.bits);
    table.bits = larger;
  }
  if (2 * most <= table.slots.length) return;
  table.slots = new Int32Array(2 * table.slots.length);
  placeAgain(table);
}

function numberCorners(
  table: VertexTable,
  words: Int32Array,
  triangles: Uint32Array,
  from: number,
  to: number,
): void {
  const { bits, slots } = table;
  const mask = slots.length - 1;
  let { count } = table;
  let carried = 0;
  for (let corner = from, at = 0; corner < to; corner++, at += 3) {
    const x = unsignedZero(words[at]!);
    const y = unsignedZero(words[at + 1]!);
    const z = unsignedZero(words[at + 2]!);
    const hash = hashOf(x, y, z);
    let slot = hash & mask;
    let entry = slots[slot]!;
    let vertex = count;
    while (entry !== 0) {
      if (((entry ^ hash) & ~mask) === 0) {
        vertex = (entry & mask) - 1;
        const v = 3 * vertex;
        if (bits[v] === x && bits[v + 1] === y && bits[v + 2] === z) break;
      }
      slot = (slot + 1) & mask;
      entry = slots[slot]!;
    }
    if (entry === 0) {
      vertex = count++;
      slots[slot] = (hash & ~mask) | count;
      bits[3 * vertex] = x;
      bits[3 * vertex + 1] = y;
      bits[3 * vertex + 2] = z;
      carried |= exponentCarry(x) | exponentCarry(y) | exponentCarry(z);
    }
    triangles[corner] = vertex;
  }
  table.count = count;
  if (carried < 0) table.finite = false;
}

/** −0 and +0 differ in their bits alone. */
const unsignedZero = (bits: number): number => (bits === -0x80000000 ? 0 : bits);

/** Negative when all eight exponent bits are set: infinite or not a number. */
const exponentCarry = (bits: number): number => ((bits & 0x7f800000) + 0x00800000) | 0;

function hashOf(x: number, y: number, z: number): number {
  let h = Math.imul(x, 0x9e3779b1) ^ Math.imul(y, 0x85ebca6b) ^ Math.imul(z, 0xc2b2ae35);
  h = Math.imul(h ^ (h >>> 16), 0x7feb352d);
  return h ^ (h >>> 15);
}

function placeAgain({ bits, slots, count }: VertexTable): void {
  const mask = slots.length - 1;
  for (let vertex = 0; vertex < count; vertex++) {
    const hash = hashOf(bits[3 * vertex]!, bits[3 * vertex + 1]!, bits[3 * vertex + 2]!);
    let slot = hash & mask;
    while (slots[slot] !== 0) slot = (slot + 1) & mask;
    slots[slot] = (hash & ~mask) | (vertex + 1);
  }
}

/** The table's own memory where little of it is left over. */
function positionsOf({ bits, count }: VertexTable): Float32Array {
  const spare = bits.length - 3 * count;
  return spare <= bits.length >>> 5
    ? new Float32Array(bits.buffer, 0, 3 * count)
    : new Float32Array(bits.slice(0, 3 * count).buffer);
}
