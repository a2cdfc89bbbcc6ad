import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { Vec3 } from '../core/vector.ts';
import { windingAbove } from './windingAbove.ts';

const facetsPerTick = 1 << 16;

/** Winding number of a closed mesh at each point, which must not lie on it. */
export function windingsAt(mesh: Mesh, points: readonly Vec3[], interrupter: Interrupter): Int32Array {
  const { positions: p, triangles: t } = mesh;
  const windings = new Int32Array(points.length);
  // A facet counts for points between its least and its greatest y alone.
  const byY = Array.from(points.keys()).sort((m, n) => points[m]![1] - points[n]![1]);
  const ys = Float64Array.from(byY, (n) => points[n]![1]);
  const facets = t.length / 3;
  for (let facet = 0; facet < facets; facet++) {
    if (facet % facetsPerTick === 0) interrupter(facet / facets);
    const a = p[3 * t[3 * facet]! + 1]!;
    const b = p[3 * t[3 * facet + 1]! + 1]!;
    const c = p[3 * t[3 * facet + 2]! + 1]!;
    const most = Math.max(a, b, c);
    for (let at = firstFrom(ys, Math.min(a, b, c)); at < ys.length && ys[at]! <= most; at++) {
      const n = byY[at]!;
      const point = points[n]!;
      windings[n]! += windingAbove(mesh, facet, point[0], point[1], point[2]);
    }
  }
  return windings;
}

/** Index of the first of ascending values that is at least `least`. */
function firstFrom(values: Float64Array, least: number): number {
  let from = 0;
  let to = values.length;
  while (from < to) {
    const middle = (from + to) >> 1;
    if (values[middle]! < least) from = middle + 1;
    else to = middle;
  }
  return from;
}
