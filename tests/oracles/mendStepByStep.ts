import { type Interrupter, portion, uninterrupted } from '../../src/core/interrupter.ts';
import { closeHoles } from '../../src/core/mesh/closeHoles.ts';
import { dropSpareFacets } from '../../src/core/mesh/dropSpareFacets.ts';
import { matchHalfEdges, noTwin } from '../../src/core/mesh/matchHalfEdges.ts';
import type { Mesh } from '../../src/core/mesh/mesh.ts';
import { turnedInsideOut } from '../../src/core/mesh/orientFacets.ts';
import type { RepairedMesh } from '../../src/core/mesh/repairMesh.ts';
import { sortEdgesByCounting } from '../../src/core/mesh/sortEdges.ts';
import { splitDoubledEdges } from '../../src/core/mesh/splitDoubledEdges.ts';
import { splitVertices } from '../../src/core/mesh/splitVertices.ts';
import { countEdges } from '../../src/core/mesh/topology.ts';
import { massFacetByFacet } from './massFacetByFacet.ts';

/** Each round closes at least one seam of every facet that has one; facets with more are rare. */
const mostRounds = 16;

/** `repairMesh` with every step taken, whether there is anything to mend or not. */
export function mendStepByStep(mesh: Mesh): RepairedMesh {
  const interrupter = uninterrupted;
  const repaired: string[] = [];
  const note = (count: number, one: string, many: string) => {
    if (count > 0) repaired.push(`${count} ${count === 1 ? one : many}`);
  };
  const spare = dropSpareFacets(mesh);
  note(spare.withoutArea, 'triangle without area dropped', 'triangles without area dropped');
  note(spare.repeated, 'repeated triangle dropped', 'repeated triangles dropped');
  const oriented = orientFacets(spare.mesh);
  note(
    oriented.turned,
    'triangle turned round to agree with its neighbours',
    'triangles turned round to agree with their neighbours',
  );
  const closed = closeAll(oriented.mesh, portion(interrupter, 0.4, 0.8));
  note(
    closed.seams,
    'seam closed where a corner met the middle of an edge',
    'seams closed where a corner met the middle of an edge',
  );
  note(closed.holes, 'hole filled', `holes filled (${closed.facetsAdded} new triangles)`);
  const apart = takeApart(closed.mesh, closed.twin);
  note(apart.split, 'corner doubled where surfaces only touch', 'corners doubled where surfaces only touch');
  note(
    apart.halved,
    'edge split where a surface touches itself',
    'edges split where a surface touches itself',
  );
  const insideOut = massFacetByFacet(apart.mesh).volume < 0;
  if (insideOut) repaired.push('whole mesh turned, it was inside out');
  return {
    mesh: insideOut ? turnedInsideOut(apart.mesh) : apart.mesh,
    repaired,
    sound: isSound(apart.mesh),
    insideOut,
  };
}

/** Splitting an edge can only bring its halves into question again, so few rounds settle it. */
function takeApart(mesh: Mesh, twin: Int32Array) {
  const sum = { mesh, split: 0, halved: 0 };
  let pairs = twin;
  for (let round = 0; round < mostRounds; round++) {
    const apart = splitVertices(sum.mesh, pairs);
    const halves = splitDoubledEdges(apart.mesh, pairs);
    sum.mesh = halves.mesh;
    sum.split += apart.split;
    sum.halved += halves.split;
    if (halves.split === 0) break;
    pairs = matchHalfEdges(sum.mesh);
  }
  return sum;
}

/** Counted anew from the result, not concluded from what was done. */
function isSound(mesh: Mesh): boolean {
  const { openEdges, nonmanifoldEdges, misorientedEdges } = countEdges(mesh, sortEdgesByCounting(mesh, null));
  return mesh.triangles.length > 0 && openEdges + nonmanifoldEdges + misorientedEdges === 0;
}

function closeAll(mesh: Mesh, interrupter: Interrupter) {
  let twin = matchHalfEdges(mesh);
  const sum = { mesh, holes: 0, facetsAdded: 0, seams: 0 };
  for (let round = 0; round < mostRounds && twin.includes(noTwin); round++) {
    const closed = closeHoles(
      sum.mesh,
      twin,
      portion(interrupter, round / mostRounds, (round + 1) / mostRounds),
    );
    if (closed.mesh === sum.mesh) break;
    sum.mesh = closed.mesh;
    sum.holes += closed.holes;
    sum.facetsAdded += closed.facetsAdded;
    sum.seams += closed.seams;
    twin = matchHalfEdges(sum.mesh);
  }
  return { ...sum, twin };
}

function orientFacets(mesh: Mesh): { readonly mesh: Mesh; readonly turned: number } {
  const flip = minorityFlags(mesh);
  let turned = 0;
  for (const flag of flip) turned += flag;
  return turned === 0 ? { mesh, turned } : { mesh: withTurned(mesh, flip), turned };
}

function minorityFlags(mesh: Mesh): Uint8Array {
  const { triangles } = mesh;
  const facets = triangles.length / 3;
  const { order, start, groups } = sortEdgesByCounting(mesh, null);
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
