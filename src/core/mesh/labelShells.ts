import { type Interrupter, portion, uninterrupted } from '../interrupter.ts';
import { joinSets, numberSets, singletons } from '../unionFind.ts';
import { closedSurface } from './closedSurface.ts';
import { edgesOf } from './edgesOf.ts';
import { findDuplicates } from './findDuplicates.ts';
import type { Mesh } from './mesh.ts';
import { type EdgeGroups, sortEdges } from './sortEdges.ts';

export interface ShellLabels {
  /** Shell number per facet, shells numbered in the order of their first facets. */
  readonly label: Uint32Array;
  readonly count: number;
}

/**
 * Shells: facets connected across edges that exactly two facets use. Facets that repeat another's
 * corners count once and go with it. An edge of more facets connects nothing, so two cubes that
 * share one edge are two shells; neither does a shared vertex.
 */
export function labelShells(mesh: Mesh, interrupter: Interrupter = uninterrupted): ShellLabels {
  const surface = closedSurface(mesh, portion(interrupter, 0, 0.3));
  return surface === null ? labelByEdges(mesh, portion(interrupter, 0.3, 1)) : surface.shells;
}

/** The same of any mesh, by sorting its edges. */
export function labelByEdges(mesh: Mesh, interrupter: Interrupter): ShellLabels {
  const { sameAs, duplicates } = findDuplicates(mesh);
  interrupter(0.3);
  const edges = duplicates > 0 ? sortEdges(mesh, repeatFlags(sameAs)) : edgesOf(mesh);
  interrupter(0.7);
  return connectShells(edges, sameAs);
}

/** The same from edges at hand, sorted without the repeating facets. */
export function connectShells(edges: EdgeGroups, sameAs: Uint32Array): ShellLabels {
  const parent = singletons(sameAs.length);
  for (let g = 0; g < edges.groups; g++) {
    const at = edges.start[g]!;
    if (edges.start[g + 1]! - at !== 2) continue;
    joinSets(parent, (edges.order[at]! / 3) | 0, (edges.order[at + 1]! / 3) | 0);
  }
  for (let f = 0; f < sameAs.length; f++) if (sameAs[f] !== f) joinSets(parent, sameAs[f]!, f);
  return numberSets(parent);
}

export function repeatFlags(sameAs: Uint32Array): Uint8Array {
  const flags = new Uint8Array(sameAs.length);
  for (let f = 0; f < flags.length; f++) flags[f] = sameAs[f] === f ? 0 : 1;
  return flags;
}
