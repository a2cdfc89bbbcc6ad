import { type Interrupter, portion } from '../interrupter.ts';
import { diagonalOf } from './boundsOf.ts';
import { closedSurface } from './closedSurface.ts';
import { edgesOf } from './edgesOf.ts';
import { type FacetSource, soupFacets } from './facetSource.ts';
import { isScattered } from './isScattered.ts';
import { mergeNearby } from './mergeNearby.ts';
import type { Mesh, TriangleSoup } from './mesh.ts';
import { mortonOrder } from './mortonOrder.ts';
import { type EdgeGroups, nextHalfEdge, sortEdges } from './sortEdges.ts';
import { weldExactly } from './weldExactly.ts';

/**
 * Tolerances tried, as shares of the bounding diagonal. A float32 coordinate is good to 2⁻²⁴ of its
 * size; the first is sixteen such steps, the last (0.003 mm on a part of 200 mm) is still far below
 * what can be printed.
 */
const toleranceShares = [2 ** -20, 2 ** -18, 2 ** -16];

export interface WeldedMesh {
  readonly mesh: Mesh;
  /** In the soup's unit; 0 = exact. */
  readonly toleranceUsed: number;
}

/**
 * Loose facets → indexed mesh. Rule: corners whose three float32 values are equal (−0 = +0) become
 * one vertex. Only if that leaves edges used once, vertices on such edges that lie within a tolerance
 * of each other are merged too, at three growing tolerances; the one that leaves the fewest open edges
 * is kept, the smaller at a tie, exact welding when none helps. Vertices away from open edges never
 * move, so fine closed detail is safe. No facet is dropped: one whose corners fall together stays as a
 * degenerate one. Facets keep their order, unless they are many and lie so scattered that every later
 * pass would suffer (`isScattered`): then they come along a Morton curve.
 */
export function weld(soup: TriangleSoup, interrupter: Interrupter): WeldedMesh {
  return weldFacets(soupFacets(soup), interrupter).welded;
}

/** The same from any source; `finite` is false when a corner is infinite or not a number. */
export function weldFacets(
  source: FacetSource,
  interrupter: Interrupter,
): { readonly welded: WeldedMesh; readonly finite: boolean } {
  const order = isScattered(source) ? mortonOrder(source, portion(interrupter, 0, 0.2)) : null;
  const { mesh, finite, scratch } = weldExactly(source, order, portion(interrupter, 0.2, 0.6));
  const closed = finite && closedSurface(mesh, portion(interrupter, 0.6, 0.9), scratch) !== null;
  const welded = closed || !finite ? { mesh, toleranceUsed: 0 } : mergeAtGaps(mesh, interrupter);
  return { welded, finite };
}

function mergeAtGaps(exact: Mesh, interrupter: Interrupter): WeldedMesh {
  const edges = edgesOf(exact);
  let fewest = countOpen(edges);
  if (fewest === 0) return { mesh: exact, toleranceUsed: 0 };
  const onOpenEdge = openVertices(exact, edges);
  const diagonal = diagonalOf(exact.positions);
  let best = exact;
  let toleranceUsed = 0;
  for (const share of toleranceShares) {
    interrupter(0.9);
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
