import type { Manifold, ManifoldToplevel } from 'manifold-3d';
import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type Result, success } from '../core/result.ts';
import type { Bar } from '../core/supports/supportBodies.ts';
import { norm, subtract } from '../core/vector.ts';
import { separateVertices } from './separateVertices.ts';
import { inSolidScope, type SolidScope } from './solidScope.ts';

const SIDES = 16;
/** Bars united at a time: the kernel is asked once for many. */
const AT_ONCE = 256;

/** Bars as one closed, outward mesh. Print frame, mm. */
export function shapeSupports(
  kernel: ManifoldToplevel,
  bars: readonly Bar[],
  interrupter: Interrupter,
): Result<Mesh> {
  return inSolidScope(kernel, (scope) => {
    const united: Manifold[] = [];
    for (let from = 0; from < bars.length; from += AT_ONCE) {
      interrupter(from / bars.length);
      const solids = bars.slice(from, from + AT_ONCE).flatMap((bar) => barSolids(scope, bar));
      united.push(scope.keep(kernel.Manifold.union(solids)));
    }
    return success(separateVertices(scope.meshOf(scope.keep(kernel.Manifold.union(united)))));
  });
}

/** A cone between two points, and balls at its ends where it leans, for bars that meet it at an angle. */
function barSolids(scope: SolidScope, { from, to, fromRadius, toRadius }: Bar): Manifold[] {
  const way = subtract(to, from);
  const height = norm(way);
  if (height === 0) return [];
  const { Manifold } = scope.kernel;
  const turnY = (Math.acos(Math.max(-1, Math.min(1, way[2] / height))) * 180) / Math.PI;
  const turnZ = (Math.atan2(way[1], way[0]) * 180) / Math.PI;
  const cone = scope.keep(Manifold.cylinder(height, fromRadius, toRadius, SIDES));
  const placed = scope.keep(scope.keep(cone.rotate([0, turnY, turnZ])).translate([...from]));
  if (fromRadius !== toRadius || Math.abs(way[2]) === height) return [placed];
  const ball = scope.keep(Manifold.sphere(fromRadius, SIDES));
  return [placed, scope.keep(ball.translate([...from])), scope.keep(ball.translate([...to]))];
}
