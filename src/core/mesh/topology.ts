import { type Interrupter, portion } from '../interrupter.ts';
import { findDegenerate } from './findDegenerate.ts';
import { findDuplicates } from './findDuplicates.ts';
import { connectShells, repeatFlags } from './labelShells.ts';
import { massProperties } from './massProperties.ts';
import type { Mesh } from './mesh.ts';
import { type EdgeGroups, sortEdges } from './sortEdges.ts';
import type { TopologyReport } from './topologyReport.ts';

/**
 * Counts what a welded mesh is made of and what is wrong with it. Facets with two equal corners have
 * no part in the edge counts and form no shell of their own; repeated facets count in the edges (that
 * is what makes an edge non-manifold) but not in the shells. Near linear.
 */
export function reportTopology(mesh: Mesh, interrupter: Interrupter): TopologyReport {
  const degenerate = findDegenerate(mesh);
  const collapsed = degenerate.map((kind) => (kind === 1 ? 1 : 0));
  interrupter(0.1);
  const { sameAs, duplicates } = findDuplicates(mesh);
  interrupter(0.25);
  const edges = sortEdges(mesh, collapsed);
  interrupter(0.6);
  const counts = countEdges(mesh, edges);
  const distinct = duplicates === 0 ? edges : sortEdges(mesh, withRepeats(collapsed, sameAs));
  interrupter(0.7);
  const mass = massProperties(mesh, portion(interrupter, 0.8, 1));
  return {
    triangles: mesh.triangles.length / 3,
    vertices: mesh.positions.length / 3,
    shells: countShells(distinct, sameAs, collapsed),
    watertight: counts.openEdges + counts.nonmanifoldEdges + counts.misorientedEdges === 0,
    ...counts,
    degenerate: degenerate.reduce((sum, kind) => sum + (kind === 0 ? 0 : 1), 0),
    duplicates,
    signedVolume: mass.volume,
    area: mass.area,
    bounds: mass.bounds,
    centroid: mass.centroid,
  };
}

export interface EdgeCounts {
  readonly openEdges: number;
  readonly nonmanifoldEdges: number;
  readonly misorientedEdges: number;
}

export function countEdges({ triangles }: Mesh, { order, start, groups }: EdgeGroups): EdgeCounts {
  let openEdges = 0;
  let nonmanifoldEdges = 0;
  let misorientedEdges = 0;
  for (let g = 0; g < groups; g++) {
    const at = start[g]!;
    const uses = start[g + 1]! - at;
    if (uses === 1) openEdges++;
    else if (uses > 2) nonmanifoldEdges++;
    // Both half-edges join the same two vertices: the same start means the same direction.
    else if (triangles[order[at]!] === triangles[order[at + 1]!]) misorientedEdges++;
  }
  return { openEdges, nonmanifoldEdges, misorientedEdges };
}

function withRepeats(collapsed: Uint8Array, sameAs: Uint32Array): Uint8Array {
  const skip = repeatFlags(sameAs);
  for (let f = 0; f < skip.length; f++) skip[f]! |= collapsed[f]!;
  return skip;
}

function countShells(edges: EdgeGroups, sameAs: Uint32Array, collapsed: Uint8Array): number {
  const { label, count } = connectShells(edges, sameAs);
  const real = new Uint8Array(count);
  for (let f = 0; f < label.length; f++) if (collapsed[f] === 0) real[label[f]!] = 1;
  return real.reduce((sum, flag) => sum + flag, 0);
}
