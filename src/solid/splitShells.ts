import type { Mesh } from '../core/mesh/mesh.ts';
import { compacted } from './compacted.ts';

/** Facets that hang together by shared vertices, each shell a mesh of its own, in order of first facet. */
export function splitShells({ positions, triangles }: Mesh): Mesh[] {
  const vertices = positions.length / 3;
  const parent = new Uint32Array(vertices);
  for (let v = 0; v < vertices; v++) parent[v] = v;
  for (let at = 0; at < triangles.length; at += 3) {
    unite(parent, triangles[at]!, triangles[at + 1]!);
    unite(parent, triangles[at]!, triangles[at + 2]!);
  }
  const shellOf = new Map<number, number>();
  const facets: number[] = [];
  for (let at = 0; at < triangles.length; at += 3) {
    const root = rootOf(parent, triangles[at]!);
    const shell = shellOf.get(root) ?? shellOf.size;
    shellOf.set(root, shell);
    facets[shell] = (facets[shell] ?? 0) + 1;
  }
  const filled = facets.map(() => 0);
  const shells = facets.map((count) => new Uint32Array(3 * count));
  for (let at = 0; at < triangles.length; at += 3) {
    const shell = shellOf.get(rootOf(parent, triangles[at]!))!;
    for (let c = 0; c < 3; c++) shells[shell]![filled[shell]!++] = triangles[at + c]!;
  }
  const number = new Int32Array(vertices);
  return shells.map((shell) => compacted(positions, shell, number));
}

function rootOf(parent: Uint32Array, vertex: number): number {
  let at = vertex;
  while (parent[at] !== at) {
    parent[at] = parent[parent[at]!]!;
    at = parent[at]!;
  }
  return at;
}

function unite(parent: Uint32Array, a: number, b: number): void {
  const rootA = rootOf(parent, a);
  const rootB = rootOf(parent, b);
  if (rootA < rootB) parent[rootB] = rootA;
  else parent[rootA] = rootB;
}
