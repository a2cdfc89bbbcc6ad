import { noTwin } from './matchHalfEdges.ts';
import type { Mesh } from './mesh.ts';
import { nextHalfEdge } from './sortEdges.ts';

/** Loop i is the half-edges `edges[start[i] … start[i+1])`, each ending where the next starts, no vertex twice. */
export interface BoundaryLoops {
  readonly edges: Uint32Array;
  readonly start: readonly number[];
}

/**
 * Walks the half-edges without a twin into simple loops: the rims of holes, along their facets'
 * direction. Whenever the walk comes back to a vertex it cuts that loop off, so holes that meet in a
 * point come out one by one. Every facet and every pair of twins enters a vertex as often as it leaves
 * it, hence a walk never ends before its loop does.
 */
export function traceLoops(mesh: Mesh, twin: Int32Array): BoundaryLoops {
  const { triangles } = mesh;
  const vertices = mesh.positions.length / 3;
  const outgoing = new Int32Array(vertices).fill(-1);
  const nextOut = new Int32Array(triangles.length).fill(-1);
  let open = 0;
  for (let h = triangles.length - 1; h >= 0; h--) {
    if (twin[h] !== noTwin || triangles[h] === triangles[nextHalfEdge(h)]) continue;
    nextOut[h] = outgoing[triangles[h]!]!;
    outgoing[triangles[h]!] = h;
    open++;
  }
  const edges = new Uint32Array(open);
  const start = [0];
  const path = new Uint32Array(open);
  const place = new Int32Array(vertices).fill(-1);
  let filled = 0;
  for (let seed = 0; seed < vertices; seed++) {
    while (outgoing[seed] !== -1) {
      let length = 0;
      let at = seed;
      place[seed] = 0;
      while (outgoing[at] !== -1) {
        const h = outgoing[at]!;
        outgoing[at] = nextOut[h]!;
        path[length++] = h;
        at = triangles[nextHalfEdge(h)]!;
        const since = place[at]!;
        if (since === -1) {
          place[at] = length;
          continue;
        }
        for (let i = since; i < length; i++) {
          edges[filled++] = path[i]!;
          if (i > since) place[triangles[path[i]!]!] = -1;
        }
        start.push(filled);
        length = since;
      }
      for (let i = 0; i < length; i++) place[triangles[path[i]!]!] = -1;
      place[at] = -1;
      place[seed] = -1;
    }
  }
  return { edges: edges.slice(0, filled), start };
}
