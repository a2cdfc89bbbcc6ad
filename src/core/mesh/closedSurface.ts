import type { Interrupter } from '../interrupter.ts';
import type { ShellLabels } from './labelShells.ts';
import type { Mesh } from './mesh.ts';

/**
 * What is known of a mesh without a fault in how it hangs together: no facet has two equal corners and
 * no two facets the same three, every edge has exactly two facets that run opposite ways along it, and
 * the facets around every vertex form one ring. There is nothing to mend but what depends on lengths
 * and volumes.
 */
export interface ClosedSurface {
  readonly shells: ShellLabels;
}

/** Meshes are never changed, so what was found once holds; kept as long as the mesh is. */
const found = new WeakMap<Mesh, ClosedSurface | null>();

/** Null when the mesh has any fault, or no facet. `scratch`: at least two entries a vertex, overwritten. */
export function closedSurface(
  mesh: Mesh,
  interrupter: Interrupter,
  scratch?: Int32Array,
): ClosedSurface | null {
  const known = found.get(mesh);
  if (known !== undefined) return known;
  const surface = examine(mesh, interrupter, scratch ?? new Int32Array((2 * mesh.positions.length) / 3));
  found.set(mesh, surface);
  return surface;
}

/** For a mesh with the same facets in the same order, all turned round. */
export function rememberTurned(turned: Mesh, surface: ClosedSurface): void {
  found.set(turned, surface);
}

function examine(mesh: Mesh, interrupter: Interrupter, scratch: Int32Array): ClosedSurface | null {
  if (mesh.triangles.length === 0) return null;
  const corners = cornersOfVertices(mesh, interrupter);
  if (!eachVertexHasOneRing(mesh.triangles, corners, scratch, interrupter)) return null;
  return { shells: shellsOf(mesh.triangles, corners.parent) };
}

interface VertexCorners {
  /** Per vertex its last corner + 1, 0 = none. */
  readonly last: Int32Array;
  /** Per corner the one before it at the same vertex + 1, 0 = none. */
  readonly before: Int32Array;
  /** Union–find over the vertices, joined by facets; parents are lesser than their children. */
  readonly parent: Uint32Array;
}

const cornersPerTick = 3 << 16;

function cornersOfVertices({ positions, triangles: t }: Mesh, interrupter: Interrupter): VertexCorners {
  const last = new Int32Array(positions.length / 3);
  const before = new Int32Array(t.length);
  const parent = new Uint32Array(last.length);
  for (let v = 0; v < parent.length; v++) parent[v] = v;
  for (let corner = 0; corner < t.length; corner += 3) {
    if (corner % cornersPerTick === 0) interrupter((0.5 * corner) / t.length);
    const a = t[corner]!;
    const b = t[corner + 1]!;
    const c = t[corner + 2]!;
    before[corner] = last[a]!;
    last[a] = corner + 1;
    before[corner + 1] = last[b]!;
    last[b] = corner + 2;
    before[corner + 2] = last[c]!;
    last[c] = corner + 3;
    if (parent[a] !== parent[b] || parent[b] !== parent[c]) joinThree(parent, a, b, c);
  }
  return { last, before, parent };
}

function joinThree(parent: Uint32Array, a: number, b: number, c: number): void {
  const rootA = rootOf(parent, a);
  const rootB = rootOf(parent, b);
  const rootC = rootOf(parent, c);
  const root = Math.min(rootA, rootB, rootC);
  parent[rootA] = root;
  parent[rootB] = root;
  parent[rootC] = root;
  parent[a] = root;
  parent[b] = root;
  parent[c] = root;
}

function rootOf(parent: Uint32Array, vertex: number): number {
  let at = vertex;
  while (parent[at] !== at) {
    const up = parent[parent[at]!]!;
    parent[at] = up;
    at = up;
  }
  return at;
}

/**
 * Around a vertex every facet leads from one neighbour to the next. The facets form one ring exactly
 * when no two lead from the same neighbour and following them comes back after as many steps as there
 * are facets. When that holds at every vertex, every half-edge is the only one of its direction and has
 * its opposite. Two facets around a vertex would be the same three corners twice.
 */
function eachVertexHasOneRing(
  t: Uint32Array,
  { last, before }: VertexCorners,
  scratch: Int32Array,
  interrupter: Interrupter,
): boolean {
  // Per vertex: the vertex it was last a neighbour of, and its successor around that one.
  const neighbour = scratch.fill(-1, 0, 2 * last.length);
  for (let v = 0; v < last.length; v++) {
    if (v % cornersPerTick === 0) interrupter(0.5 + (0.5 * v) / last.length);
    let facets = 0;
    let first = -1;
    for (let corner = last[v]! - 1; corner >= 0; corner = before[corner]! - 1) {
      const place = corner % 3;
      const from = t[place === 2 ? corner - 2 : corner + 1]!;
      const to = t[place === 0 ? corner + 2 : corner - 1]!;
      if (from === v || to === v || from === to || neighbour[2 * from] === v) return false;
      neighbour[2 * from] = v;
      neighbour[2 * from + 1] = to;
      first = from;
      facets++;
    }
    if (facets < 3) return false;
    let at = first;
    let steps = 0;
    do {
      if (neighbour[2 * at] !== v) return false;
      at = neighbour[2 * at + 1]!;
      steps++;
    } while (at !== first && steps < facets);
    if (at !== first || steps !== facets) return false;
  }
  return true;
}

/** With one ring at every vertex, facets joined by vertices are joined across edges too. */
function shellsOf(t: Uint32Array, parent: Uint32Array): ShellLabels {
  for (let v = 0; v < parent.length; v++) parent[v] = parent[parent[v]!]!;
  const label = new Uint32Array(t.length / 3);
  if (isOneSet(parent)) return { label, count: 1 };
  const number = new Int32Array(parent.length).fill(-1);
  let count = 0;
  for (let f = 0; f < label.length; f++) {
    const root = parent[t[3 * f]!]!;
    if (number[root]! < 0) number[root] = count++;
    label[f] = number[root]!;
  }
  return { label, count };
}

function isOneSet(parent: Uint32Array): boolean {
  for (let v = 0; v < parent.length; v++) if (parent[v] !== 0) return false;
  return true;
}
