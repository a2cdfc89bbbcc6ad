import { type Interrupter, portion } from '../interrupter.ts';
import { closedSurface } from './closedSurface.ts';
import { edgesOf } from './edgesOf.ts';
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
  const surface = closedSurface(mesh, portion(interrupter, 0, 0.5));
  if (surface === null) return reportByEdges(mesh, portion(interrupter, 0.5, 1));
  return {
    shells: surface.shells.count,
    watertight: true,
    openEdges: 0,
    nonmanifoldEdges: 0,
    misorientedEdges: 0,
    degenerate: countDegenerate(findDegenerate(mesh)),
    duplicates: 0,
    ...figuresOf(mesh, portion(interrupter, 0.6, 1)),
  };
}

/** The same of any mesh, by sorting its edges: what is done unless the surface is closed. */
export function reportByEdges(mesh: Mesh, interrupter: Interrupter): TopologyReport {
  const degenerate = findDegenerate(mesh);
  const collapsed = degenerate.includes(1) ? degenerate.map((kind) => (kind === 1 ? 1 : 0)) : null;
  interrupter(0.1);
  const { sameAs, duplicates } = findDuplicates(mesh);
  interrupter(0.25);
  const edges = collapsed === null ? edgesOf(mesh) : sortEdges(mesh, collapsed);
  interrupter(0.6);
  const counts = countEdges(mesh, edges);
  const distinct = duplicates === 0 ? edges : sortEdges(mesh, withRepeats(collapsed, sameAs));
  interrupter(0.7);
  return {
    shells: countShells(distinct, sameAs, collapsed),
    watertight: counts.openEdges + counts.nonmanifoldEdges + counts.misorientedEdges === 0,
    ...counts,
    degenerate: countDegenerate(degenerate),
    duplicates,
    ...figuresOf(mesh, portion(interrupter, 0.8, 1)),
  };
}

function figuresOf(mesh: Mesh, interrupter: Interrupter) {
  const { volume, area, bounds, centroid } = massProperties(mesh, interrupter);
  return {
    triangles: mesh.triangles.length / 3,
    vertices: mesh.positions.length / 3,
    signedVolume: volume,
    area,
    bounds,
    centroid,
  };
}

function countDegenerate(kind: Uint8Array): number {
  let count = 0;
  for (let f = 0; f < kind.length; f++) if (kind[f] !== 0) count++;
  return count;
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

function withRepeats(collapsed: Uint8Array | null, sameAs: Uint32Array): Uint8Array {
  const skip = repeatFlags(sameAs);
  if (collapsed === null) return skip;
  for (let f = 0; f < skip.length; f++) skip[f]! |= collapsed[f]!;
  return skip;
}

function countShells(edges: EdgeGroups, sameAs: Uint32Array, collapsed: Uint8Array | null): number {
  const { label, count } = connectShells(edges, sameAs);
  if (collapsed === null) return count;
  const real = new Uint8Array(count);
  for (let f = 0; f < label.length; f++) if (collapsed[f] === 0) real[label[f]!] = 1;
  return real.reduce((sum, flag) => sum + flag, 0);
}
