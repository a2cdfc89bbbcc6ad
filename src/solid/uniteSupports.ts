import type { ManifoldToplevel } from 'manifold-3d';
import { type Interrupter, portion, uninterrupted } from '../core/interrupter.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { failure, type Result, success } from '../core/result.ts';
import type { Unclean } from './closedPatch.ts';
import { isClosed } from './isClosed.ts';
import type { ReadySolid } from './makeReady.ts';
import { separateVertices } from './separateVertices.ts';
import { inSolidScope } from './solidScope.ts';
import { uniteNearby } from './uniteNearby.ts';

/** Of a volume, which coordinates in float32 leave uncertain. */
const roundingShare = 1e-5;

/**
 * The part and its supports as one closed solid. All in the print frame, mm; `pieces`: the convex solids
 * that `supports` is the union of. Facets away from the tips stay to the bit, the part's first. Where the
 * neighbourhood of a tip is not clean both are united as wholes, and a note says so.
 *
 * Fails `solid-failed` when the kernel cannot unite them.
 */
export function uniteSupports(
  kernel: ManifoldToplevel,
  part: Mesh,
  supports: Mesh,
  pieces: readonly Mesh[],
  interrupter: Interrupter,
): Result<ReadySolid> {
  const near = uniteNearby(kernel, part, supports, pieces, portion(interrupter, 0, 0.6));
  const proven = 'unclean' in near ? near : addsUp(provenClosed(near), part, supports);
  if (!('unclean' in proven)) return success({ mesh: proven, notes: [] });
  interrupter(0.6);
  const united = inSolidScope(kernel, (scope) =>
    success(scope.meshOf(scope.keep(scope.solidOf(part).add(scope.solidOf(supports))))),
  );
  if (!united.ok) return united;
  interrupter(0.9);
  const mesh = provenClosed(united.value);
  if ('unclean' in mesh) {
    return failure(
      'solid-failed',
      'Uniting the supports with the part left the mesh open; write them apart with --held apart.',
    );
  }
  const note = `The supports were united with the part as a whole, because ${proven.unclean}: facets elsewhere may have changed.`;
  return success({ mesh, notes: [note] });
}

/** A solid holds either of what it is united from, and no more than both. */
function addsUp(united: Mesh | Unclean, part: Mesh, supports: Mesh): Mesh | Unclean {
  if ('unclean' in united) return united;
  const [a, b, both] = [part, supports, united].map((mesh) => massProperties(mesh, uninterrupted).volume);
  const slack = roundingShare * both!;
  const holds = both! > Math.max(a!, b!) - slack && both! < a! + b! + slack;
  return holds ? united : { unclean: 'uniting them only near the tips lost or doubled something' };
}

function provenClosed(mesh: Mesh): Mesh | Unclean {
  const separate = separateVertices(mesh);
  return isClosed(separate) ? separate : { unclean: 'uniting them only near the tips left the mesh open' };
}
