import { closestPoint, closestPointScratch } from '../field/closestPoint.ts';
import { buildFacetTree } from '../field/facetTree.ts';
import type { Mesh } from '../mesh/mesh.ts';

/**
 * How far a mesh lies from another mesh's surface at most, measured exactly at the corners and the
 * centres of `mostFacets` of its facets, evenly spread over their order (of all where they are no more).
 */
export function greatestDistance({ positions: p, triangles: t }: Mesh, to: Mesh, mostFacets: number): number {
  const tree = buildFacetTree(to);
  const found = closestPointScratch();
  const stride = 3 * Math.max(1, Math.ceil(t.length / 3 / mostFacets));
  let greatest = 0;
  const measure = (x: number, y: number, z: number): void => {
    closestPoint(tree, x, y, z, found.packed, found);
    if (found.squared > greatest) greatest = found.squared;
  };
  for (let facet = 0; facet < t.length; facet += stride) {
    const a = 3 * t[facet]!;
    const b = 3 * t[facet + 1]!;
    const c = 3 * t[facet + 2]!;
    measure(p[a]!, p[a + 1]!, p[a + 2]!);
    measure(p[b]!, p[b + 1]!, p[b + 2]!);
    measure(p[c]!, p[c + 1]!, p[c + 2]!);
    measure(
      (p[a]! + p[b]! + p[c]!) / 3,
      (p[a + 1]! + p[b + 1]! + p[c + 1]!) / 3,
      (p[a + 2]! + p[b + 2]! + p[c + 2]!) / 3,
    );
  }
  return Math.sqrt(greatest);
}
