import type { ManifoldToplevel } from 'manifold-3d';
import type { Interrupter } from '../core/interrupter.ts';
import { joinMeshes } from '../core/mesh/joinMeshes.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { turnedRound } from '../core/mesh/turnedRound.ts';
import { failure, type Result, success } from '../core/result.ts';
import { isClosed } from './isClosed.ts';
import { separateVertices } from './separateVertices.ts';
import { inSolidScope } from './solidScope.ts';

/**
 * The mesh to print: `outer`, with `cavity` (closed, outward as a solid of its own) taken out of it,
 * with every cutter subtracted. All in one frame, mm. Without cutters nothing is computed anew: the
 * outer facets come first, untouched to the bit, then the cavity's, reversed.
 *
 * The result is a closed, oriented 2-manifold, and still one after it was written as float32 and
 * welded exactly. Fails `solid-not-closed` when a mesh given is none, `solid-failed` when the kernel
 * cannot subtract.
 */
export function makeReady(
  kernel: ManifoldToplevel,
  outer: Mesh,
  cavity: Mesh | null,
  cutters: readonly Mesh[],
  interrupter: Interrupter,
): Result<Mesh> {
  if (!isClosed(outer)) return notClosed('The part');
  if (cavity && !isClosed(cavity)) return notClosed('Its cavity');
  if (!cutters.every(isClosed)) return notClosed('An opening');
  const whole = cavity ? withCavity(outer, cavity) : outer;
  if (cutters.length === 0) return proven(separateVertices(whole));
  interrupter(0.2);
  const cut = inSolidScope(kernel, (scope) => {
    const bores = scope.keep(scope.kernel.Manifold.union(cutters.map((cutter) => scope.solidOf(cutter))));
    return success(scope.meshOf(scope.keep(scope.solidOf(whole).subtract(bores))));
  });
  interrupter(0.9);
  if (!cut.ok) return cut;
  if (cut.value.triangles.length === 0) {
    return failure('solid-failed', 'The openings take the whole part away; make them smaller.');
  }
  return proven(separateVertices(cut.value));
}

const notClosed = (what: string): Result<Mesh> =>
  failure(
    'solid-not-closed',
    `${what} is not a closed, evenly oriented surface; repair the mesh before making it ready.`,
  );

function proven(mesh: Mesh): Result<Mesh> {
  if (isClosed(mesh)) return success(mesh);
  return failure(
    'solid-failed',
    'Cutting the openings left the mesh open; move or resize the opening that grazes an edge.',
  );
}

const withCavity = (outer: Mesh, { positions, triangles }: Mesh): Mesh =>
  joinMeshes([outer, { positions, triangles: turnedRound(triangles) }]);
