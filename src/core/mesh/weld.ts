import type { Interrupter } from '../interrupter.ts';
import { diagonalOf } from './boundsOf.ts';
import { mergeNearby } from './mergeNearby.ts';
import type { Mesh, TriangleSoup } from './mesh.ts';
import { type EdgeGroups, nextHalfEdge, sortEdges } from './sortEdges.ts';

/**
 * Tolerances tried, as shares of the bounding diagonal. A float32 coordinate is good to 2⁻²⁴ of its
 * size; the first is sixteen such steps, the last (0.003 mm on a part of 200 mm) is still far below
 * what can be printed.
 */
const toleranceShares = [2 ** -20, 2 ** -18, 2 ** -16];
const cornersPerTick = 1 << 18;

/**
 * Loose facets → indexed mesh. Rule: corners whose three float32 values are equal (−0 = +0) become
 * one vertex. Only if that leaves edges used once, vertices on such edges that lie within a tolerance
 * of each other are merged too, at three growing tolerances; the one that leaves the fewest open edges
 * is kept, the smaller at a tie, exact welding when none helps. Vertices away from open edges never
 * move, so fine closed detail is safe. Facets are neither dropped nor reordered: a facet whose corners
 * fall together stays as a degenerate one.
 *
 * `toleranceUsed` is in the soup's unit; 0 = exact.
 */
export function weld(
  soup: TriangleSoup,
  interrupter: Interrupter,
): { readonly mesh: Mesh; readonly toleranceUsed: number } {
  const exact = weldExactly(soup, interrupter);
  interrupter(0.5);
  const edges = sortEdges(exact, null);
  let fewest = countOpen(edges);
  if (fewest === 0) return { mesh: exact, toleranceUsed: 0 };
  const onOpenEdge = openVertices(exact, edges);
  const diagonal = diagonalOf(exact.positions);
  let best = exact;
  let toleranceUsed = 0;
  for (const share of toleranceShares) {
    interrupter(0.6 + share);
    const tolerance = diagonal * share;
    const merged = mergeNearby(exact, onOpenEdge, tolerance);
    if (merged === exact) continue;
    const open = countOpen(sortEdges(merged, null));
    if (open >= fewest) continue;
    best = merged;
    fewest = open;
    toleranceUsed = tolerance;
    if (open === 0) break;
  }
  return { mesh: best, toleranceUsed };
}

function weldExactly(soup: TriangleSoup, interrupter: Interrupter): Mesh {
  const corners = soup.length / 3;
  const bits = new Int32Array(soup.buffer, soup.byteOffset, soup.length);
  const triangles = new Uint32Array(corners);
  let vertexBits = new Int32Array(3 * Math.max(16, Math.ceil(corners / 5)));
  let slots = new Int32Array(2 ** Math.ceil(Math.log2(Math.max(16, corners / 2.5)))).fill(-1);
  let vertices = 0;
  for (let corner = 0; corner < corners; corner++) {
    if (corner % cornersPerTick === 0) interrupter((0.5 * corner) / corners);
    const x = unsignedZero(bits[3 * corner]!);
    const y = unsignedZero(bits[3 * corner + 1]!);
    const z = unsignedZero(bits[3 * corner + 2]!);
    const mask = slots.length - 1;
    let slot = hashOf(x, y, z) & mask;
    let vertex = slots[slot]!;
    while (vertex !== -1) {
      const at = 3 * vertex;
      if (vertexBits[at] === x && vertexBits[at + 1] === y && vertexBits[at + 2] === z) break;
      slot = (slot + 1) & mask;
      vertex = slots[slot]!;
    }
    if (vertex === -1) {
      vertex = vertices++;
      slots[slot] = vertex;
      if (3 * vertices > vertexBits.length) vertexBits = grown(vertexBits);
      vertexBits[3 * vertex] = x;
      vertexBits[3 * vertex + 1] = y;
      vertexBits[3 * vertex + 2] = z;
      if (2 * vertices > slots.length) slots = rehashed(vertexBits, vertices, slots.length * 2);
    }
    triangles[corner] = vertex;
  }
  return { positions: new Float32Array(vertexBits.slice(0, 3 * vertices).buffer), triangles };
}

/** −0 and +0 differ in their bits alone. */
const unsignedZero = (bits: number): number => (bits === -0x80000000 ? 0 : bits);

function hashOf(x: number, y: number, z: number): number {
  let h = Math.imul(x, 0x9e3779b1) ^ Math.imul(y, 0x85ebca6b) ^ Math.imul(z, 0xc2b2ae35);
  h = Math.imul(h ^ (h >>> 16), 0x7feb352d);
  return h ^ (h >>> 15);
}

function grown(values: Int32Array): Int32Array<ArrayBuffer> {
  const larger = new Int32Array(values.length * 2);
  larger.set(values);
  return larger;
}

function rehashed(vertexBits: Int32Array, vertices: number, size: number): Int32Array<ArrayBuffer> {
  const slots = new Int32Array(size).fill(-1);
  for (let vertex = 0; vertex < vertices; vertex++) {
    const at = 3 * vertex;
    let slot = hashOf(vertexBits[at]!, vertexBits[at + 1]!, vertexBits[at + 2]!) & (size - 1);
    while (slots[slot] !== -1) slot = (slot + 1) & (size - 1);
    slots[slot] = vertex;
  }
  return slots;
}

function countOpen({ start, groups }: EdgeGroups): number {
  let open = 0;
  for (let g = 0; g < groups; g++) if (start[g + 1]! - start[g]! === 1) open++;
  return open;
}

function openVertices({ positions, triangles }: Mesh, { order, start, groups }: EdgeGroups): Uint8Array {
  const flags = new Uint8Array(positions.length / 3);
  for (let g = 0; g < groups; g++) {
    if (start[g + 1]! - start[g]! !== 1) continue;
    const h = order[start[g]!]!;
    flags[triangles[h]!] = 1;
    flags[triangles[nextHalfEdge(h)]!] = 1;
  }
  return flags;
}
