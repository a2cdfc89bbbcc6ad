import type { Mesh } from '../core/mesh/mesh.ts';

/**
 * Fewer triangles by collapsing edges, cheapest first, by quadric error (Garland and Heckbert 1997,
 * "Surface Simplification Using Quadric Error Metrics"). Keeps a closed manifold closed: an edge is
 * collapsed only when its ends share exactly two neighbours (link condition) and no facet turns over.
 */
export function simplify(mesh: Mesh, target: number): Mesh {
  const state = prepare(mesh);
  const heap = new CandidateHeap();
  for (let f = 0; f < state.corners.length; f += 3) {
    for (let n = 0; n < 3; n++) {
      const u = state.corners[f + n]!;
      const v = state.corners[f + ((n + 1) % 3)]!;
      if (u < v) offer(state, heap, u, v);
    }
  }
  let left = state.corners.length / 3;
  while (left > target) {
    const candidate = heap.take();
    if (candidate === undefined) break;
    const { u, v, stamp } = candidate;
    if (
      state.stamps[u]! + state.stamps[v]! !== stamp ||
      state.facesOf[u] === null ||
      state.facesOf[v] === null
    )
      continue;
    if (!collapse(state, candidate)) continue;
    left -= 2;
    for (const w of neighbours(state, u)) offer(state, heap, Math.min(u, w), Math.max(u, w));
  }
  return packed(state);
}

interface State {
  readonly positions: Float64Array;
  readonly corners: Uint32Array;
  readonly alive: Uint8Array;
  /** Faces round each vertex; null once it has been collapsed away. */
  readonly facesOf: (number[] | null)[];
  /** Ten coefficients of the symmetric 4×4 quadric per vertex. */
  readonly quadrics: Float64Array;
  readonly stamps: Uint32Array;
}

interface Candidate {
  readonly cost: number;
  readonly u: number;
  readonly v: number;
  readonly stamp: number;
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

function prepare(mesh: Mesh): State {
  const vertices = mesh.positions.length / 3;
  const state: State = {
    positions: Float64Array.from(mesh.positions),
    corners: Uint32Array.from(mesh.triangles),
    alive: new Uint8Array(mesh.triangles.length / 3).fill(1),
    facesOf: Array.from({ length: vertices }, () => []),
    quadrics: new Float64Array(vertices * 10),
    stamps: new Uint32Array(vertices),
  };
  for (let f = 0; f < state.alive.length; f++) {
    const [a, b, c, d] = plane(state, f);
    const area = d === undefined ? 0 : Math.sqrt(a! * a! + b! * b! + c! * c!) || 0;
    for (let n = 0; n < 3; n++) {
      const v = state.corners[3 * f + n]!;
      state.facesOf[v]!.push(f);
      if (area > 0) addPlane(state.quadrics, v * 10, a! / area, b! / area, c! / area, d! / area, area);
    }
  }
  return state;
}

/** a, b, c (area-weighted normal) and d of a facet's plane. */
function plane(state: State, face: number): readonly number[] {
  const p = state.positions;
  const u = 3 * state.corners[3 * face]!;
  const v = 3 * state.corners[3 * face + 1]!;
  const w = 3 * state.corners[3 * face + 2]!;
  const ax = p[v]! - p[u]!;
  const ay = p[v + 1]! - p[u + 1]!;
  const az = p[v + 2]! - p[u + 2]!;
  const bx = p[w]! - p[u]!;
  const by = p[w + 1]! - p[u + 1]!;
  const bz = p[w + 2]! - p[u + 2]!;
  const a = ay * bz - az * by;
  const b = az * bx - ax * bz;
  const c = ax * by - ay * bx;
  return [a, b, c, -(a * p[u]! + b * p[u + 1]! + c * p[u + 2]!)];
}

function addPlane(
  q: Float64Array,
  at: number,
  a: number,
  b: number,
  c: number,
  d: number,
  weight: number,
): void {
  q[at]! += weight * a * a;
  q[at + 1]! += weight * a * b;
  q[at + 2]! += weight * a * c;
  q[at + 3]! += weight * a * d;
  q[at + 4]! += weight * b * b;
  q[at + 5]! += weight * b * c;
  q[at + 6]! += weight * b * d;
  q[at + 7]! += weight * c * c;
  q[at + 8]! += weight * c * d;
  q[at + 9]! += weight * d * d;
}

function offer(state: State, heap: CandidateHeap, u: number, v: number): void {
  const q = new Float64Array(10);
  for (let n = 0; n < 10; n++) q[n] = state.quadrics[u * 10 + n]! + state.quadrics[v * 10 + n]!;
  const p = state.positions;
  let x = (p[3 * u]! + p[3 * v]!) / 2;
  let y = (p[3 * u + 1]! + p[3 * v + 1]!) / 2;
  let z = (p[3 * u + 2]! + p[3 * v + 2]!) / 2;
  const dx = p[3 * u]! - p[3 * v]!;
  const dy = p[3 * u + 1]! - p[3 * v + 1]!;
  const dz = p[3 * u + 2]! - p[3 * v + 2]!;
  const square = dx * dx + dy * dy + dz * dz;
  const best = lowest(q, x, y, z, square);
  if (best !== null) [x, y, z] = best;
  // The small pull towards short edges keeps facets on flat ground well shaped.
  const cost = errorAt(q, x, y, z) + 1e-5 * square * (q[0]! + q[4]! + q[7]!);
  heap.put({ cost, u, v, stamp: state.stamps[u]! + state.stamps[v]!, x, y, z });
}

function errorAt(q: Float64Array, x: number, y: number, z: number): number {
  return (
    q[0]! * x * x +
    2 * q[1]! * x * y +
    2 * q[2]! * x * z +
    2 * q[3]! * x +
    q[4]! * y * y +
    2 * q[5]! * y * z +
    2 * q[6]! * y +
    q[7]! * z * z +
    2 * q[8]! * z +
    q[9]!
  );
}

/** Where the quadric is least, drawn a little towards the midpoint; null when that lies far off. */
function lowest(
  q: Float64Array,
  mx: number,
  my: number,
  mz: number,
  square: number,
): [number, number, number] | null {
  const hold = 1e-4 * (q[0]! + q[4]! + q[7]!);
  const a = q[0]! + hold;
  const b = q[1]!;
  const c = q[2]!;
  const d = q[4]! + hold;
  const e = q[5]!;
  const f = q[7]! + hold;
  const r0 = -q[3]! + hold * mx;
  const r1 = -q[6]! + hold * my;
  const r2 = -q[8]! + hold * mz;
  const c0 = d * f - e * e;
  const c1 = c * e - b * f;
  const c2 = b * e - c * d;
  const determinant = a * c0 + b * c1 + c * c2;
  if (!(Math.abs(determinant) > 1e-30)) return null;
  const x = (r0 * c0 + r1 * c1 + r2 * c2) / determinant;
  const y = (r0 * c1 + r1 * (a * f - c * c) + r2 * (b * c - a * e)) / determinant;
  const z = (r0 * c2 + r1 * (b * c - a * e) + r2 * (a * d - b * b)) / determinant;
  const off = (x - mx) ** 2 + (y - my) ** 2 + (z - mz) ** 2;
  return off < 4 * square ? [x, y, z] : null;
}

function neighbours(state: State, v: number): Set<number> {
  const found = new Set<number>();
  for (const f of state.facesOf[v]!) {
    for (let n = 0; n < 3; n++) found.add(state.corners[3 * f + n]!);
  }
  found.delete(v);
  return found;
}

function collapse(state: State, to: Candidate): boolean {
  const { u, v } = to;
  const ofV = neighbours(state, v);
  let shared = 0;
  for (const w of neighbours(state, u)) {
    if (!ofV.has(w)) continue;
    shared++;
    // A neighbour of both that loses its third facet would leave two facets back to back.
    if (state.facesOf[w]!.length <= 3) return false;
  }
  if (shared !== 2) return false;
  if (turnsOver(state, u, v, to) || turnsOver(state, v, u, to)) return false;
  state.positions[3 * u] = to.x;
  state.positions[3 * u + 1] = to.y;
  state.positions[3 * u + 2] = to.z;
  for (let n = 0; n < 10; n++) state.quadrics[u * 10 + n]! += state.quadrics[v * 10 + n]!;
  rewire(state, u, v);
  state.stamps[u]!++;
  return true;
}

function rewire(state: State, u: number, v: number): void {
  for (const f of state.facesOf[v]!) {
    const at = 3 * f;
    const gone = [0, 1, 2].some((n) => state.corners[at + n] === u);
    if (!gone) {
      for (let n = 0; n < 3; n++) if (state.corners[at + n] === v) state.corners[at + n] = u;
      state.facesOf[u]!.push(f);
      continue;
    }
    state.alive[f] = 0;
    for (let n = 0; n < 3; n++) {
      const w = state.corners[at + n]!;
      if (w !== v) state.facesOf[w] = state.facesOf[w]!.filter((g) => g !== f);
    }
  }
  state.facesOf[v] = null;
}

/** Would a facet of `v` that stays turn by more than about 75°, or lose its area, as v moves? */
function turnsOver(state: State, v: number, other: number, to: Candidate): boolean {
  const p = state.positions;
  const kept = [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!];
  for (const f of state.facesOf[v]!) {
    if ([0, 1, 2].some((n) => state.corners[3 * f + n] === other)) continue;
    const [a, b, c] = plane(state, f);
    p[3 * v] = to.x;
    p[3 * v + 1] = to.y;
    p[3 * v + 2] = to.z;
    const [d, e, g] = plane(state, f);
    p[3 * v] = kept[0]!;
    p[3 * v + 1] = kept[1]!;
    p[3 * v + 2] = kept[2]!;
    const before = Math.sqrt(a! * a! + b! * b! + c! * c!);
    const after = Math.sqrt(d! * d! + e! * e! + g! * g!);
    if (a! * d! + b! * e! + c! * g! < 0.25 * before * after || after < 1e-6) return true;
  }
  return false;
}

function packed(state: State): Mesh {
  const number = new Int32Array(state.facesOf.length).fill(-1);
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let f = 0; f < state.alive.length; f++) {
    if (state.alive[f] === 0) continue;
    for (let n = 0; n < 3; n++) {
      const v = state.corners[3 * f + n]!;
      if (number[v] === -1) {
        number[v] = positions.length / 3;
        positions.push(state.positions[3 * v]!, state.positions[3 * v + 1]!, state.positions[3 * v + 2]!);
      }
      triangles.push(number[v]!);
    }
  }
  return { positions: Float32Array.from(positions), triangles: Uint32Array.from(triangles) };
}

/** Binary heap by cost; ties by vertex number, so that the order is always the same. */
class CandidateHeap {
  private readonly items: Candidate[] = [];

  put(item: Candidate): void {
    const { items } = this;
    let n = items.length;
    items.push(item);
    while (n > 0) {
      const parent = (n - 1) >> 1;
      if (!before(item, items[parent]!)) break;
      items[n] = items[parent]!;
      n = parent;
    }
    items[n] = item;
  }

  take(): Candidate | undefined {
    const { items } = this;
    const first = items[0];
    const last = items.pop();
    if (last === undefined || items.length === 0) return first;
    let n = 0;
    for (;;) {
      let child = 2 * n + 1;
      if (child >= items.length) break;
      if (child + 1 < items.length && before(items[child + 1]!, items[child]!)) child++;
      if (!before(items[child]!, last)) break;
      items[n] = items[child]!;
      n = child;
    }
    items[n] = last;
    return first;
  }
}

function before(a: Candidate, b: Candidate): boolean {
  if (a.cost !== b.cost) return a.cost < b.cost;
  return a.u !== b.u ? a.u < b.u : a.v < b.v;
}
