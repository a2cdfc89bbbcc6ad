import { edgesOf } from './edgesOf.ts';
import { findDegenerate } from './findDegenerate.ts';
import { findDuplicates } from './findDuplicates.ts';
import type { Mesh } from './mesh.ts';
import type { EdgeGroups } from './sortEdges.ts';

export interface SpareFacets {
  readonly mesh: Mesh;
  readonly withoutArea: number;
  readonly repeated: number;
}

/**
 * Drops facets with two equal corners; facets with corners on a line where every edge has two other
 * facets already (elsewhere they close a seam and stay); and repeats: of facets with the same three
 * corners one stays, turned as the majority is, or none where they face each other in equal numbers
 * (a sheet without thickness, or the wall between two bodies that share it).
 * The same mesh object comes back when there are none.
 */
export function dropSpareFacets(mesh: Mesh): SpareFacets {
  const drop = new Uint8Array(mesh.triangles.length / 3);
  const withoutArea = markWithoutArea(mesh, drop);
  const repeated = markRepeats(mesh, drop);
  if (withoutArea + repeated === 0) return { mesh, withoutArea, repeated };
  return {
    mesh: { positions: mesh.positions, triangles: kept(mesh.triangles, drop) },
    withoutArea,
    repeated,
  };
}

function markWithoutArea(mesh: Mesh, drop: Uint8Array): number {
  const kind = findDegenerate(mesh);
  const onLine = kind.includes(2) ? facetsOfBusyEdges(edgesOf(mesh), kind.length) : null;
  let count = 0;
  for (let f = 0; f < kind.length; f++) {
    if (kind[f] === 1 || (kind[f] === 2 && onLine![f] === 3)) {
      drop[f] = 1;
      count++;
    }
  }
  return count;
}

/** Per facet how many of its edges have more than two facets. */
function facetsOfBusyEdges({ order, start, groups }: EdgeGroups, facets: number): Uint8Array {
  const busy = new Uint8Array(facets);
  for (let g = 0; g < groups; g++) {
    if (start[g + 1]! - start[g]! <= 2) continue;
    for (let i = start[g]!; i < start[g + 1]!; i++) busy[(order[i]! / 3) | 0]!++;
  }
  return busy;
}

function markRepeats(mesh: Mesh, drop: Uint8Array): number {
  const { sameAs, duplicates } = findDuplicates(mesh);
  if (duplicates === 0) return 0;
  // Facets of a repeated set that run like its first, less those that run against it.
  const balance = new Int32Array(sameAs.length);
  const repeated = new Uint8Array(sameAs.length);
  for (let f = 0; f < sameAs.length; f++) {
    const first = sameAs[f]!;
    balance[first]! += runsLike(mesh.triangles, first, f) ? 1 : -1;
    if (first !== f) repeated[first] = 1;
  }
  let count = 0;
  for (let f = 0; f < sameAs.length; f++) {
    const first = sameAs[f]!;
    if (repeated[first] === 0 || drop[f] !== 0) continue;
    const surplus = balance[first]!;
    const stays = surplus !== 0 && runsLike(mesh.triangles, first, f) === surplus > 0;
    // The first that may stay does, and takes the surplus with it.
    if (stays) balance[first] = 0;
    else {
      drop[f] = 1;
      count++;
    }
  }
  return count;
}

/** True when two facets with the same corners name them in the same cyclic order. */
function runsLike(t: Uint32Array, f: number, g: number): boolean {
  const a = t[3 * f]!;
  const b = t[3 * f + 1]!;
  if (t[3 * g] === a) return t[3 * g + 1] === b;
  if (t[3 * g + 1] === a) return t[3 * g + 2] === b;
  return t[3 * g] === b;
}

function kept(triangles: Uint32Array, drop: Uint8Array): Uint32Array {
  const out = new Uint32Array(triangles.length);
  let length = 0;
  for (let f = 0; f < drop.length; f++) {
    if (drop[f] !== 0) continue;
    out[length++] = triangles[3 * f]!;
    out[length++] = triangles[3 * f + 1]!;
    out[length++] = triangles[3 * f + 2]!;
  }
  return out.slice(0, length);
}
