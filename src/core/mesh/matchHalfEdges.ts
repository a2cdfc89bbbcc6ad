import { edgesOf } from './edgesOf.ts';
import type { Mesh } from './mesh.ts';
import { type EdgeGroups, nextHalfEdge } from './sortEdges.ts';

/** No partner: an open edge, or one whose two facets run the same way. */
export const noTwin = -1;

/**
 * Per half-edge the opposite half-edge it is joined to, or `noTwin`. Where more than two facets
 * meet at an edge they are paired so that each pair bounds a wedge of solid: bodies that touch along
 * an edge come apart, none is torn.
 */
export function matchHalfEdges(mesh: Mesh): Int32Array {
  const edges = edgesOf(mesh);
  const { order, start, groups } = edges;
  const { triangles } = mesh;
  const twin = new Int32Array(triangles.length).fill(noTwin);
  for (let g = 0; g < groups; g++) {
    const at = start[g]!;
    const uses = start[g + 1]! - at;
    if (uses > 2) matchAround(mesh, edges, g, twin);
    if (uses !== 2) continue;
    const a = order[at]!;
    const b = order[at + 1]!;
    if (triangles[a] === triangles[b]) continue;
    twin[a] = b;
    twin[b] = a;
  }
  return twin;
}

/**
 * Seen along the edge from its lesser vertex to its greater, a half-edge that runs that way has solid
 * at lesser angles, one that runs back at greater: solid wedges open with a backward half-edge and
 * close with a forward one, like brackets on a circle.
 */
function matchAround(mesh: Mesh, { order, start }: EdgeGroups, group: number, twin: Int32Array): void {
  const around = order.slice(start[group]!, start[group + 1]!);
  const angles = anglesAround(mesh, around);
  const turns = Array.from(around, (h, i) => ({ h, angle: angles[i]!, forward: runsForward(mesh, h) }));
  turns.sort((a, b) => a.angle - b.angle || a.h - b.h);
  const waiting: number[] = [];
  for (let pass = 0; pass < 2; pass++) {
    for (const { h, forward } of turns) {
      if (twin[h] !== noTwin) continue;
      if (!forward && pass === 0) waiting.push(h);
      const partner = forward ? waiting.pop() : undefined;
      if (partner === undefined) continue;
      twin[h] = partner;
      twin[partner] = h;
    }
  }
}

const runsForward = ({ triangles }: Mesh, h: number): boolean => triangles[h]! < triangles[nextHalfEdge(h)]!;

function anglesAround(mesh: Mesh, around: Uint32Array): Float64Array {
  const { positions: p, triangles } = mesh;
  const first = around[0]!;
  const from = triangles[first]!;
  const to = triangles[nextHalfEdge(first)]!;
  const low = 3 * Math.min(from, to);
  const high = 3 * Math.max(from, to);
  const axis = [p[high]! - p[low]!, p[high + 1]! - p[low + 1]!, p[high + 2]! - p[low + 2]!] as const;
  const length = Math.hypot(...axis) || 1;
  const e = axis.map((c) => c / length) as [number, number, number];
  // Any direction across the edge serves as angle 0.
  const least = e.reduce((best, c, i) => (Math.abs(c) < Math.abs(e[best]!) ? i : best), 0);
  const pick = [0, 0, 0];
  pick[least] = 1;
  const u = crossed(e, pick);
  const v = crossed(e, u);
  return Float64Array.from(around, (h) => {
    const apex = 3 * triangles[nextHalfEdge(nextHalfEdge(h))]!;
    const d = [p[apex]! - p[low]!, p[apex + 1]! - p[low + 1]!, p[apex + 2]! - p[low + 2]!];
    return Math.atan2(dotted(d, v), dotted(d, u));
  });
}

const dotted = (a: readonly number[], b: readonly number[]): number =>
  a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
const crossed = (a: readonly number[], b: readonly number[]): number[] => [
  a[1]! * b[2]! - a[2]! * b[1]!,
  a[2]! * b[0]! - a[0]! * b[2]!,
  a[0]! * b[1]! - a[1]! * b[0]!,
];
