import type { Mesh } from '../mesh/mesh.ts';
import { type ClosestPoint, closestPoint, tryFacet } from './closestPoint.ts';
import { facetRings } from './facetRings.ts';
import { buildFacetTree } from './facetTree.ts';
import { offerFacet, walkFacets } from './facetWalk.ts';

/**
 * Answers with the surface point closest to `query` in the caller's own scratch. Facets are named as
 * `found.packed` names them.
 */
export interface DepthProbe {
  /** Where the point asked for stands: x, y, z. */
  readonly query: Float64Array;
  /** Searches from the facets given; a second of −1 is none. */
  nearest(first: number, second: number, found: ClosestPoint): void;
  /** As `nearest`, and keeps what stands in `found` when that is closer. */
  nearer(first: number, found: ClosestPoint): void;
  /** The closest point of one facet. */
  on(facet: number, found: ClosestPoint): void;
}

/**
 * Walks downhill from its hints (`walkFacets`), which must be facets. Only what reaches into heights
 * [low, high] is found.
 */
export function walkingProbe(mesh: Mesh, low: number, high: number): DepthProbe {
  const rings = facetRings(mesh, low, high);
  const query = new Float64Array(3);
  return {
    query,
    nearest(first, second, found) {
      found.squared = Infinity;
      walkFacets(mesh, rings, first, query, found);
      if (second >= 0 && second !== first && second !== found.packed)
        walkFacets(mesh, rings, second, query, found);
    },
    nearer: (first, found) => walkFacets(mesh, rings, first, query, found),
    on(facet, found) {
      found.squared = Infinity;
      offerFacet(mesh.positions, mesh.triangles, facet, query, found);
    },
  };
}

/** Asks a tree over all facets: exact whatever the hint, and many times slower. An oracle. */
export function treeProbe(mesh: Mesh): DepthProbe {
  const tree = buildFacetTree(mesh);
  const query = new Float64Array(3);
  const ask = (hint: number, found: ClosestPoint): void =>
    closestPoint(tree, query[0]!, query[1]!, query[2]!, hint, found);
  return {
    query,
    nearest: (first, _second, found) => ask(first, found),
    nearer: (first, found) => ask(first, found),
    on(facet, found) {
      found.squared = Infinity;
      tryFacet(tree.corners, facet, query[0]!, query[1]!, query[2]!, found);
    },
  };
}
