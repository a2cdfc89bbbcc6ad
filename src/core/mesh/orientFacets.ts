import { edgesOf } from './edgesOf.ts';
import type { Mesh } from './mesh.ts';
import { countEdges } from './topology.ts';

/**
 * Makes the facets of each shell agree: a flood over edges that exactly two facets use, whatever
 * their direction, then the minority of each shell is turned round. A one-sided surface (Möbius
 * strip) keeps a seam. The same mesh object comes back when nothing had to be turned.
 */
export function orientFacets(mesh: Mesh): { readonly mesh: Mesh; readonly turned: number } {
  // The flood would reach every facet without a disagreement.
  if (countEdges(mesh, edgesOf(mesh)).misorientedEdges === 0) return { mesh, turned: 0 };
  const flip = minorityFlags(mesh);
  let turned = 0;
  for (const flag of flip) turned += flag;
  return turned === 0 ? { mesh, turned } : { mesh: withTurned(mesh, flip), turned };
}

function minorityFlags(mesh: Mesh): Uint8Array {
  const { triangles } = mesh;
  const facets = triangles.length / 3;
  const { order, start, groups } = edgesOf(mesh);
  // Per half-edge its neighbour half-edge over a two-facet edge, −1 for none.
  const across = new Int32Array(triangles.length).fill(-1);
  for (let g = 0; g < groups; g++) {
    const at = start[g]!;
    if (start[g + 1]! - at !== 2) continue;
    across[order[at]!] = order[at + 1]!;
    across[order[at + 1]!] = order[at]!;
  }
  const flip = new Uint8Array(facets);
  const reached = new Uint8Array(facets);
  const queue = new Uint32Array(facets);
  for (let seed = 0; seed < facets; seed++) {
    if (reached[seed] !== 0) continue;
    reached[seed] = 1;
    queue[0] = seed;
    let tail = 1;
    let flipped = 0;
    for (let head = 0; head < tail; head++) {
      const facet = queue[head]!;
      flipped += flip[facet]!;
      for (let h = 3 * facet; h < 3 * facet + 3; h++) {
        const other = across[h]!;
        if (other === -1) continue;
        const neighbour = (other / 3) | 0;
        if (reached[neighbour] !== 0) continue;
        reached[neighbour] = 1;
        flip[neighbour] = flip[facet]! ^ (triangles[h] === triangles[other] ? 1 : 0);
        queue[tail++] = neighbour;
      }
    }
    if (2 * flipped > tail) for (let i = 0; i < tail; i++) flip[queue[i]!]! ^= 1;
  }
  return flip;
}

function withTurned({ positions, triangles }: Mesh, flip: Uint8Array): Mesh {
  const turned = triangles.slice();
  for (let f = 0; f < flip.length; f++) {
    if (flip[f] === 0) continue;
    turned[3 * f + 1] = triangles[3 * f + 2]!;
    turned[3 * f + 2] = triangles[3 * f + 1]!;
  }
  return { positions, triangles: turned };
}

/** Every facet turned round. */
export function turnedInsideOut(mesh: Mesh): Mesh {
  return withTurned(mesh, new Uint8Array(mesh.triangles.length / 3).fill(1));
}
