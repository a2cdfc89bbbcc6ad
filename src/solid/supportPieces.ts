import type { ManifoldToplevel } from 'manifold-3d';
import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type Result, success } from '../core/result.ts';
import type { Bar } from '../core/supports/supportBodies.ts';
import { barSolids } from './barSolids.ts';
import { inSolidScope } from './solidScope.ts';

/** The convex solids that supports are united from, each as a mesh. Print frame, mm. */
export function supportPieces(
  kernel: ManifoldToplevel,
  bars: readonly Bar[],
  interrupter: Interrupter,
): Result<Mesh[]> {
  const pieces: Mesh[] = [];
  for (const [n, bar] of bars.entries()) {
    interrupter(n / bars.length);
    const made = inSolidScope(kernel, (scope) => success(barSolids(scope, bar).map(scope.meshOf)));
    if (!made.ok) return made;
    pieces.push(...made.value);
  }
  return success(pieces);
}
