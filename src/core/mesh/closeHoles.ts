import type { Interrupter } from '../interrupter.ts';
import { diagonalOf } from './boundsOf.ts';
import { edgesOf } from './edgesOf.ts';
import type { Mesh } from './mesh.ts';
import { nextHalfEdge } from './sortEdges.ts';
import { type BoundaryLoops, traceLoops } from './traceLoops.ts';
import { triangulateLoop } from './triangulateLoop.ts';

export interface ClosedHoles {
  readonly mesh: Mesh;
  /** Holes filled and the facets it took. */
  readonly holes: number;
  readonly facetsAdded: number;
  /** Seams closed by splitting a facet at the corners that lie on its edge. */
  readonly seams: number;
}

/** How far from an edge a corner may lie to be taken for a point on it, as a share of the diagonal. */
const seamShare = 2 ** -16;
/** Longer rims are left open: clipping them ear by ear would take minutes. */
const longestRim = 20_000;

/**
 * One round of closing: a rim whose corners all lie along its longest edge is a seam (T-junction), and
 * the facet of that edge is split at them; any other rim is filled. A facet is split once a round, so
 * call again until nothing changes. A lone triangle is not closed on itself.
 */
export function closeHoles(mesh: Mesh, twin: Int32Array, interrupter: Interrupter): ClosedHoles {
  const loops = traceLoops(mesh, twin);
  const edges = edgesBetweenRims(mesh, loops);
  const tolerance = diagonalOf(mesh.positions) * seamShare;
  const drop = new Uint8Array(mesh.triangles.length / 3);
  const added: number[] = [];
  let holes = 0;
  let facetsAdded = 0;
  let seams = 0;
  for (let i = 0; i + 1 < loops.start.length; i++) {
    interrupter(i / loops.start.length);
    const rim = loops.edges.subarray(loops.start[i]!, loops.start[i + 1]!);
    if (rim.length < 3 || rim.length > longestRim || isLoneFacet(rim)) continue;
    const seam = longestFirst(mesh, rim);
    if (liesAlongFirst(mesh, seam, tolerance)) {
      const facet = (seam[0]! / 3) | 0;
      if (drop[facet] !== 0) continue;
      drop[facet] = 1;
      splitFacet(mesh, seam, added);
      seams++;
    } else {
      facetsAdded += fillRim(mesh, rim, edges, added);
      holes++;
    }
  }
  if (added.length === 0) return { mesh, holes, facetsAdded, seams };
  return {
    mesh: { positions: mesh.positions, triangles: replaced(mesh, drop, added) },
    holes,
    facetsAdded,
    seams,
  };
}

const isLoneFacet = (rim: Uint32Array): boolean =>
  rim.length === 3 && rim.every((h) => ((h / 3) | 0) === ((rim[0]! / 3) | 0));

/** The rim begun at its longest edge. */
function longestFirst({ positions: p, triangles }: Mesh, rim: Uint32Array): Uint32Array {
  let longest = 0;
  let length = -1;
  for (let i = 0; i < rim.length; i++) {
    const a = 3 * triangles[rim[i]!]!;
    const b = 3 * triangles[nextHalfEdge(rim[i]!)]!;
    const squared = (p[a]! - p[b]!) ** 2 + (p[a + 1]! - p[b + 1]!) ** 2 + (p[a + 2]! - p[b + 2]!) ** 2;
    if (squared <= length) continue;
    length = squared;
    longest = i;
  }
  return Uint32Array.from(rim, (_, i) => rim[(i + longest) % rim.length]!);
}

/** True when the other corners lie on the first edge, in order from its end back to its start. */
function liesAlongFirst({ positions: p, triangles }: Mesh, rim: Uint32Array, tolerance: number): boolean {
  const a = 3 * triangles[rim[0]!]!;
  const b = 3 * triangles[nextHalfEdge(rim[0]!)]!;
  const edge = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!] as const;
  const squared = edge[0] ** 2 + edge[1] ** 2 + edge[2] ** 2;
  let last = 1;
  for (let i = 2; i < rim.length; i++) {
    const c = 3 * triangles[rim[i]!]!;
    const d = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!] as const;
    const along = (d[0] * edge[0] + d[1] * edge[1] + d[2] * edge[2]) / squared;
    if (!(along > 0 && along < last)) return false;
    last = along;
    const off = Math.hypot(d[0] - along * edge[0], d[1] - along * edge[1], d[2] - along * edge[2]);
    if (off > tolerance) return false;
  }
  return true;
}

/** The first edge's facet as a fan about its far corner, over the rim's corners in the facet's direction. */
function splitFacet({ triangles }: Mesh, rim: Uint32Array, added: number[]): void {
  const apex = triangles[nextHalfEdge(nextHalfEdge(rim[0]!))]!;
  let from = triangles[rim[0]!]!;
  for (let i = rim.length - 1; i >= 1; i--) {
    const to = triangles[rim[i]!]!;
    added.push(from, to, apex);
    from = to;
  }
}

/** New facets run against the rim's own, so their corners are taken backward. */
function fillRim(
  { positions, triangles }: Mesh,
  rim: Uint32Array,
  edges: Set<number>,
  added: number[],
): number {
  const n = rim.length;
  const vertex = Uint32Array.from(rim, (_, i) => triangles[rim[n - 1 - i]!]!);
  const loop = new Float64Array(3 * n);
  for (let i = 0; i < n; i++) {
    for (let axis = 0; axis < 3; axis++) loop[3 * i + axis] = positions[3 * vertex[i]! + axis]!;
  }
  const corners = triangulateLoop(loop, (i, j) => edges.has(edgeKey(vertex[i]!, vertex[j]!)));
  for (const corner of corners) added.push(vertex[corner]!);
  for (let t = 0; t < corners.length; t += 3) {
    for (let i = 0; i < 3; i++)
      edges.add(edgeKey(vertex[corners[t + i]!]!, vertex[corners[t + ((i + 1) % 3)]!]!));
  }
  return n - 2;
}

const edgeKey = (a: number, b: number): number => Math.min(a, b) * 0x100000000 + Math.max(a, b);

/** Edges of the mesh that join two corners of rims: chords that a filling must not repeat. */
function edgesBetweenRims(mesh: Mesh, loops: BoundaryLoops): Set<number> {
  const { triangles } = mesh;
  const onRim = new Uint8Array(mesh.positions.length / 3);
  for (const h of loops.edges) onRim[triangles[h]!] = 1;
  const { order, start, groups } = edgesOf(mesh);
  const keys = new Set<number>();
  for (let g = 0; g < groups; g++) {
    const h = order[start[g]!]!;
    const from = triangles[h]!;
    const to = triangles[nextHalfEdge(h)]!;
    if (onRim[from] !== 0 && onRim[to] !== 0) keys.add(edgeKey(from, to));
  }
  return keys;
}

function replaced({ triangles }: Mesh, drop: Uint8Array, added: readonly number[]): Uint32Array {
  const out = new Uint32Array(triangles.length + added.length);
  let length = 0;
  for (let h = 0; h < triangles.length; h++) if (drop[(h / 3) | 0] === 0) out[length++] = triangles[h]!;
  for (const vertex of added) out[length++] = vertex;
  return out.slice(0, length);
}
