import type { Mesh } from './mesh.ts';

/*
 * Half-edge h = 3·facet + i runs from corner i of the facet to corner i + 1 (cyclic).
 */
export const nextHalfEdge = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1);

/**
 * Half-edges grouped by undirected edge: group g is `order[start[g] … start[g+1])`. Half-edges of
 * facets with `skip[facet]` set and half-edges between a vertex and itself are left out.
 */
export interface EdgeGroups {
  readonly order: Uint32Array;
  readonly start: Uint32Array;
  readonly groups: number;
}

/** Edges at one lesser end beyond which a sort by insertion would no longer be linear. */
const widestFan = 64;

/**
 * A counting sort by lesser end, then the few half-edges of each by their greater end. Half-edges of one
 * edge keep their order. Where very many edges meet in a vertex, all are sorted by counting.
 */
export function sortEdges(mesh: Mesh, skip: Uint8Array | null): EdgeGroups {
  const { triangles } = mesh;
  const vertices = mesh.positions.length / 3;
  // Per lesser end where its half-edges start; once they are placed, where they end.
  const place = new Uint32Array(vertices + 1);
  let used = 0;
  for (let h = 0; h < triangles.length; h++) {
    if (skip !== null && skip[(h / 3) | 0] !== 0) continue;
    const from = triangles[h]!;
    const to = triangles[nextHalfEdge(h)]!;
    if (from === to) continue;
    place[Math.min(from, to) + 1]!++;
    used++;
  }
  for (let v = 0; v < vertices; v++) {
    if (place[v + 1]! > widestFan) return sortEdgesByCounting(mesh, skip);
    place[v + 1]! += place[v]!;
  }
  const order = new Uint32Array(used);
  const high = new Uint32Array(used + 1);
  for (let h = 0; h < triangles.length; h++) {
    if (skip !== null && skip[(h / 3) | 0] !== 0) continue;
    const from = triangles[h]!;
    const to = triangles[nextHalfEdge(h)]!;
    if (from === to) continue;
    const at = place[Math.min(from, to)]!++;
    order[at] = h;
    high[at] = Math.max(from, to);
  }
  return sortFans(place, order, high);
}

/** Group starts are written over the greater ends already passed. */
function sortFans(end: Uint32Array, order: Uint32Array, high: Uint32Array): EdgeGroups {
  let groups = 0;
  let from = 0;
  for (let v = 0; v + 1 < end.length; v++) {
    const to = end[v]!;
    for (let i = from + 1; i < to; i++) {
      const key = high[i]!;
      const h = order[i]!;
      let at = i;
      for (; at > from && high[at - 1]! > key; at--) {
        high[at] = high[at - 1]!;
        order[at] = order[at - 1]!;
      }
      high[at] = key;
      order[at] = h;
    }
    let last = -1;
    for (let i = from; i < to; i++) {
      const key = high[i]!;
      if (key !== last) high[groups++] = i;
      last = key;
    }
    from = to;
  }
  high[groups] = order.length;
  return { order, start: high.subarray(0, groups + 1), groups };
}

/** The same by two counting sorts (greater end, then lesser end): linear whatever meets in a vertex. */
export function sortEdgesByCounting(mesh: Mesh, skip: Uint8Array | null): EdgeGroups {
  const { triangles } = mesh;
  const vertices = mesh.positions.length / 3;
  const byHigh = new Uint32Array(vertices + 1);
  const byLow = new Uint32Array(vertices + 1);
  let used = 0;
  for (let h = 0; h < triangles.length; h++) {
    if (skip !== null && skip[(h / 3) | 0] !== 0) continue;
    const from = triangles[h]!;
    const to = triangles[nextHalfEdge(h)]!;
    if (from === to) continue;
    byHigh[Math.max(from, to) + 1]!++;
    byLow[Math.min(from, to) + 1]!++;
    used++;
  }
  for (let v = 0; v < vertices; v++) {
    byHigh[v + 1]! += byHigh[v]!;
    byLow[v + 1]! += byLow[v]!;
  }
  const half = new Uint32Array(used);
  for (let h = 0; h < triangles.length; h++) {
    if (skip !== null && skip[(h / 3) | 0] !== 0) continue;
    const from = triangles[h]!;
    const to = triangles[nextHalfEdge(h)]!;
    if (from === to) continue;
    half[byHigh[Math.max(from, to)]!++] = h;
  }
  const order = new Uint32Array(used);
  for (let i = 0; i < used; i++) {
    const h = half[i]!;
    const from = triangles[h]!;
    const to = triangles[nextHalfEdge(h)]!;
    order[byLow[Math.min(from, to)]!++] = h;
  }
  // The first scatter's array is no longer needed and has room for the group starts.
  return { order, ...groupStarts(triangles, order, half) };
}

function groupStarts(triangles: Uint32Array, order: Uint32Array, starts: Uint32Array) {
  let groups = 0;
  let lastLow = -1;
  let lastHigh = -1;
  for (let i = 0; i < order.length; i++) {
    const h = order[i]!;
    const from = triangles[h]!;
    const to = triangles[nextHalfEdge(h)]!;
    const low = Math.min(from, to);
    const high = Math.max(from, to);
    if (low === lastLow && high === lastHigh) continue;
    starts[groups++] = i;
    lastLow = low;
    lastHigh = high;
  }
  const start = new Uint32Array(groups + 1);
  start.set(starts.subarray(0, groups));
  start[groups] = order.length;
  return { start, groups };
}
