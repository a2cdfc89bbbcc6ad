import type { ManifoldToplevel } from 'manifold-3d';
import { joinIndices } from '../core/mesh/joinIndices.ts';
import { joinMeshes } from '../core/mesh/joinMeshes.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { success } from '../core/result.ts';
import type { ClosedPatch, Unclean } from './closedPatch.ts';
import { type SewablePatch, sewablePatch } from './sewablePatch.ts';
import { inSolidScope } from './solidScope.ts';

/**
 * Unites a closed patch of a mesh with one of another and takes caps and boxes off again. Vertices of
 * the other are numbered on after the mesh's `vertices`. Unclean unless all of the caps come out as they
 * went in and both borders are edge by edge what they were.
 */
export function unitePatch(
  kernel: ManifoldToplevel,
  patch: ClosedPatch,
  boxes: readonly Mesh[],
  other: ClosedPatch,
  vertices: number,
): SewablePatch | Unclean {
  const solid = joinMeshes([patch.mesh, ...boxes]);
  const united = inSolidScope(kernel, (scope) => {
    const a = scope.markedSolidOf(solid, patch.own);
    const b = scope.markedSolidOf(other.mesh, other.own);
    return success(scope.unmarkedOf(scope.keep(a.solid.add(b.solid)), [a.mark, b.mark]));
  });
  if (!united.ok) return { unclean: 'the solid kernel could not work on it' };
  const caps = (solid.triangles.length + other.mesh.triangles.length) / 3 - patch.own - other.own;
  if (united.value.marked !== caps) return { unclean: 'a support runs along the part' };
  return sewablePatch(united.value.mesh, bothSheets(patch, other, vertices));
}

/** One sheet of both: the first patch's vertices, then the other's. */
function bothSheets(a: ClosedPatch, b: ClosedPatch, vertices: number): Parameters<typeof sewablePatch>[1] {
  const first = a.vertexOf.length;
  const both = (own: Uint32Array, other: Uint32Array, shift: number): Uint32Array =>
    joinIndices([own, other.map((vertex) => vertex + shift)]);
  const positions = new Float32Array(3 * (first + b.vertexOf.length));
  positions.set(a.mesh.positions.subarray(0, 3 * first));
  positions.set(b.mesh.positions.subarray(0, 3 * b.vertexOf.length), 3 * first);
  return {
    positions,
    vertexOf: both(a.vertexOf, b.vertexOf, vertices),
    border: {
      from: both(a.border.from, b.border.from, first),
      to: both(a.border.to, b.border.to, first),
    },
  };
}
