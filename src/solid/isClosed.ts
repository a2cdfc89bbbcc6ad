import type { Mesh } from '../core/mesh/mesh.ts';

/**
 * True when every directed edge of the mesh has exactly one opposite: a closed, oriented 2-manifold
 * as far as edges tell. Linear: edges are bucketed by their lower vertex.
 */
export function isClosed({ positions, triangles }: Mesh): boolean {
  const vertices = positions.length / 3;
  const start = new Uint32Array(vertices + 2);
  for (let at = 0; at < triangles.length; at++) {
    const a = triangles[at]!;
    const b = triangles[nextCorner(at)]!;
    if (a === b || a >= vertices || b >= vertices) return false;
    start[Math.min(a, b) + 2]!++;
  }
  for (let v = 0; v < vertices; v++) start[v + 2]! += start[v + 1]!;
  // Upper vertex and direction of each edge, by lower vertex.
  const upper = new Uint32Array(triangles.length);
  const forward = new Uint8Array(triangles.length);
  for (let at = 0; at < triangles.length; at++) {
    const a = triangles[at]!;
    const b = triangles[nextCorner(at)]!;
    const slot = start[Math.min(a, b) + 1]!++;
    upper[slot] = Math.max(a, b);
    forward[slot] = a < b ? 1 : 0;
  }
  for (let v = 0; v < vertices; v++) if (!pairsUp(upper, forward, start[v]!, start[v + 1]!)) return false;
  return true;
}

const nextCorner = (at: number): number => (at % 3 === 2 ? at - 2 : at + 1);

/** Insertion sort by upper vertex, then every run must be one edge each way. */
function pairsUp(upper: Uint32Array, forward: Uint8Array, from: number, to: number): boolean {
  if ((to - from) % 2 !== 0) return false;
  if (to - from > 64) return pairsUpByMap(upper, forward, from, to);
  for (let i = from + 1; i < to; i++) {
    const vertex = upper[i]!;
    const way = forward[i]!;
    let slot = i;
    for (; slot > from && upper[slot - 1]! > vertex; slot--) {
      upper[slot] = upper[slot - 1]!;
      forward[slot] = forward[slot - 1]!;
    }
    upper[slot] = vertex;
    forward[slot] = way;
  }
  for (let i = from; i < to; i += 2) {
    if (upper[i] !== upper[i + 1] || forward[i] === forward[i + 1]) return false;
    if (i > from && upper[i - 1] === upper[i]) return false;
  }
  return true;
}

/** The same for the rare vertex with very many edges, where sorting by insertion would be quadratic. */
function pairsUpByMap(upper: Uint32Array, forward: Uint8Array, from: number, to: number): boolean {
  const seen = new Map<number, number>();
  for (let i = from; i < to; i++) {
    const bit = forward[i] === 1 ? 1 : 2;
    const before = seen.get(upper[i]!) ?? 0;
    if ((before & bit) !== 0) return false;
    seen.set(upper[i]!, before | bit);
  }
  for (const ways of seen.values()) if (ways !== 3) return false;
  return true;
}
