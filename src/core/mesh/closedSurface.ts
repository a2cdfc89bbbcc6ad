import type { Interrupter } from '../interrupter.ts';
import { findRoot } from '../unionFind.ts';
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
  // At least three corners meet in every vertex of a closed surface.
  const vertices = mesh.positions.length / 3;
  if (mesh.triangles.length === 0 || 3 * vertices > mesh.triangles.length) return null;
  const state = new Int32Array(vertices);
  if (!eachVertexHasOneRing(mesh, interrupter, state, scratch)) return null;
  return { shells: shellsOf(mesh, interrupter, new Uint32Array(state.buffer)) };
}

const facetsPerTick = 1 << 16;
/** State of a vertex whose ring is complete; before that its latest entry, 0 = none yet. */
const complete = -1;
/** Steps of vain looks, a corner of the mesh: sculpts take 0.1, a hostile vertex of huge valence any number. */
const vainSteps = 8;
/**
 * Four numbers an entry: neighbour the facet leads from, neighbour it leads to, entry before, sum of
 * (from − to) so far. Entry 0 stands for none and holds zeros.
 */
const entrySize = 4;

/**
 * Around a vertex every facet leads from one neighbour to the next. The facets form one ring exactly
 * when no two lead from the same neighbour and following them comes back after as many steps as there
 * are facets. When that holds at every vertex, every half-edge is the only one of its direction and has
 * its opposite. Two facets around a vertex would be the same three corners twice.
 *
 * Facets are taken in order, and a vertex's entries are given back as soon as its ring is complete, so
 * that a mesh in good order is done within the nearer caches. A ring can only be complete when the sum
 * of (from − to) over it is 0, modulo 2³² too.
 */
function eachVertexHasOneRing(
  { positions, triangles: t }: Mesh,
  interrupter: Interrupter,
  state: Int32Array,
  scratch: Int32Array,
): boolean {
  const vertices = positions.length / 3;
  const neighbour = scratch.fill(0, 0, 2 * vertices);
  let pool = new Int32Array(entrySize * 4096);
  let made = 1;
  let free = 0;
  let stamp = 0;
  let rings = 0;
  let vain = 0;
  for (let corner = 0; corner < t.length; corner++) {
    if (corner % (3 * facetsPerTick) === 0) interrupter((0.8 * corner) / t.length);
    const place = corner % 3;
    const v = t[corner]!;
    const from = t[place === 2 ? corner - 2 : corner + 1]!;
    const to = t[place === 0 ? corner + 2 : corner - 1]!;
    const before = state[v]!;
    if (before === complete || from === v || to === v || from === to) return false;
    let entry = free;
    if (entry !== 0) free = pool[entry + 2]!;
    else {
      entry = entrySize * made++;
      if (entry === pool.length) pool = doubled(pool);
    }
    pool[entry] = from;
    pool[entry + 1] = to;
    pool[entry + 2] = before;
    const sum = (pool[before + 3]! + from - to) | 0;
    pool[entry + 3] = sum;
    state[v] = entry;
    if (sum !== 0) continue;
    const first = ringEnd(pool, entry, neighbour, ++stamp);
    if (first === 0) return false;
    if (first < 0) {
      vain -= first;
      if (vain > vainSteps * t.length) return false;
      continue;
    }
    pool[first + 2] = free;
    free = entry;
    state[v] = complete;
    rings++;
  }
  return rings === vertices;
}

function doubled(pool: Int32Array<ArrayBuffer>): Int32Array<ArrayBuffer> {
  const larger = new Int32Array(2 * pool.length);
  larger.set(pool);
  return larger;
}

/**
 * The first of the entries that `entry` is the last of when they form a ring; when they do not yet,
 * the number of them, negative; 0 when they never will. `neighbour`: two numbers a vertex, the stamp of
 * the latest call that met it and the vertex after it in that call. Where two entries lead from one
 * neighbour the later is written over, and the ring cannot have as many steps as there are entries.
 */
function ringEnd(pool: Int32Array, entry: number, neighbour: Int32Array, stamp: number): number {
  let facets = 0;
  let first = 0;
  for (let at = entry; at !== 0; at = pool[at + 2]!) {
    const from = 2 * pool[at]!;
    neighbour[from] = stamp;
    neighbour[from + 1] = pool[at + 1]!;
    first = at;
    facets++;
  }
  const start = pool[entry]!;
  let at = start;
  let steps = 0;
  do {
    if (neighbour[2 * at] !== stamp) return -facets;
    at = neighbour[2 * at + 1]!;
    steps++;
  } while (at !== start && steps < facets);
  if (at !== start) return -facets;
  return steps === facets && facets >= 3 ? first : 0;
}

/** With one ring at every vertex, facets joined by vertices are joined across edges too. */
function shellsOf({ triangles: t }: Mesh, interrupter: Interrupter, parent: Uint32Array): ShellLabels {
  for (let v = 0; v < parent.length; v++) parent[v] = v;
  for (let corner = 0; corner < t.length; corner += 3) {
    if (corner % (3 * facetsPerTick) === 0) interrupter(0.8 + (0.2 * corner) / t.length);
    const a = t[corner]!;
    const b = t[corner + 1]!;
    const c = t[corner + 2]!;
    if (parent[a] !== parent[b] || parent[b] !== parent[c]) joinThree(parent, a, b, c);
  }
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

function joinThree(parent: Uint32Array, a: number, b: number, c: number): void {
  const rootA = findRoot(parent, a);
  const rootB = findRoot(parent, b);
  const rootC = findRoot(parent, c);
  const root = Math.min(rootA, rootB, rootC);
  parent[rootA] = root;
  parent[rootB] = root;
  parent[rootC] = root;
  parent[a] = root;
  parent[b] = root;
  parent[c] = root;
}

function isOneSet(parent: Uint32Array): boolean {
  for (let v = 0; v < parent.length; v++) if (parent[v] !== 0) return false;
  return true;
}
