import type { Manifold, ManifoldToplevel } from 'manifold-3d';
import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type Result, success } from '../core/result.ts';
import type { Bar } from '../core/supports/supportBodies.ts';
import { barSolids } from './barSolids.ts';
import { separateVertices } from './separateVertices.ts';
import { inSolidScope } from './solidScope.ts';

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
