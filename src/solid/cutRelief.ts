import type { ManifoldToplevel } from 'manifold-3d';
import { type Interrupter, portion } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { failure, type Result, success } from '../core/result.ts';
import { cutNearby } from './cutNearby.ts';
import { cutWhole } from './cutWhole.ts';
import { isClosed } from './isClosed.ts';
import type { ReadySolid } from './makeReady.ts';
import { separateVertices } from './separateVertices.ts';

/**
 * Takes a cutter that lies within the convex `hull` out of a closed mesh. Only the facets near the hull are computed
 * anew; all others come first, untouched to the bit. Where their neighbourhood is not clean the whole part is computed
 * anew, and a note says so. One frame, mm. Fails `solid-failed` when the kernel cannot subtract, or nothing is left.
 */
export function cutRelief(
  kernel: ManifoldToplevel,
  whole: Mesh,
  cutter: Mesh,
  hull: Mesh,
  interrupter: Interrupter,
): Result<ReadySolid> {
  const near = cutNearby(kernel, whole, [cutter], portion(interrupter, 0, 0.5), [hull]);
  const local = 'unclean' in near ? null : separateVertices(near);
  if (local !== null && local.triangles.length > 0 && isClosed(local)) {
    return success({ mesh: local, notes: [] });
  }
  interrupter(0.5);
  const cut = cutWhole(kernel, whole, [cutter]);
  if (!cut.ok) return cut;
  const mesh = separateVertices(cut.value);
  if (mesh.triangles.length === 0) return failure('solid-failed', 'A clearance takes the whole part away.');
  if (!isClosed(mesh)) return failure('solid-failed', 'Cutting a clearance left the mesh open.');
  const why = 'unclean' in near ? near.unclean : 'cutting only near it left the mesh open';
  const note = `A clearance was cut out of the part as a whole, because ${why}: facets elsewhere may have changed.`;
  return success({ mesh, notes: [note] });
}
