import type { Mesh } from '../../src/core/mesh/mesh.ts';

/**
 * The definition of a closed surface, word by word: no facet with two equal corners, no two with the
 * same three, every directed edge once and its opposite once, every vertex used, and the facets at each
 * vertex joined by the edges they share there.
 */
export function closedByEdges({ positions, triangles }: Mesh): boolean {
  const facets = Array.from({ length: triangles.length / 3 }, (_, f) => [
    ...triangles.subarray(3 * f, 3 * f + 3),
  ]);
  if (facets.length === 0 || facets.some((corners) => new Set(corners).size < 3)) return false;
  if (new Set(facets.map((corners) => corners.toSorted().join())).size < facets.length) return false;
  const owner = new Map<string, number>();
  for (const [f, corners] of facets.entries()) {
    for (let i = 0; i < 3; i++) {
      const edge = `${corners[i]}>${corners[(i + 1) % 3]}`;
      if (owner.has(edge)) return false;
      owner.set(edge, f);
    }
  }
  for (const edge of owner.keys()) if (!owner.has(edge.split('>').reverse().join('>'))) return false;
  for (let v = 0; v < positions.length / 3; v++) {
    const around = facets.flatMap((corners, f) => (corners.includes(v) ? [f] : []));
    if (around.length === 0) return false;
    const reached = new Set([around[0]!]);
    for (const f of reached) {
      for (const g of around) {
        const shared = facets[f]!.filter((corner) => facets[g]!.includes(corner));
        if (shared.length === 2) reached.add(g);
      }
    }
    if (reached.size < around.length) return false;
  }
  return true;
}
