import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { Vec3 } from '../core/vector.ts';
import { windingAbove } from './windingAbove.ts';

const facetsPerTick = 1 << 16;

/** Winding number of a closed mesh at each point, which must not lie on it. */
export function windingsAt(mesh: Mesh, points: readonly Vec3[], interrupter: Interrupter): Int32Array {
  const windings = new Int32Array(points.length);
  const facets = mesh.triangles.length / 3;
  for (let facet = 0; facet < facets; facet++) {
    if (facet % facetsPerTick === 0) interrupter(facet / facets);
    for (let n = 0; n < points.length; n++) {
      const point = points[n]!;
      windings[n]! += windingAbove(mesh, facet, point[0], point[1], point[2]);
    }
  }
  return windings;
}
