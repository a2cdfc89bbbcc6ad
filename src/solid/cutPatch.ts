import type { ManifoldToplevel } from 'manifold-3d';
import { joinMeshes } from '../core/mesh/joinMeshes.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { success } from '../core/result.ts';
import { type BorderEdges, borderEdges } from './borderEdges.ts';
import type { ClosedPatch, Unclean } from './closedPatch.ts';
import { inSolidScope } from './solidScope.ts';

/** What the facets of a patch are replaced by. */
export interface CutPatch extends Mesh {
  /** Vertex of the whole mesh that a vertex is; −1 = a new one. */
  readonly vertexOf: Int32Array;
}

/**
 * Subtracts the cutters from a closed patch and takes caps and boxes off again. Unclean unless all of
 * those come out as they went in and the border is edge by edge what it was.
 */
export function cutPatch(
  kernel: ManifoldToplevel,
  { mesh, own, vertexOf, border }: ClosedPatch,
  boxes: readonly Mesh[],
  cutters: readonly Mesh[],
): CutPatch | Unclean {
  const solid = joinMeshes([mesh, ...boxes]);
  if (solid.triangles.length === 0) return { ...solid, vertexOf: new Int32Array(0) };
  const cut = inSolidScope(kernel, (scope) => {
    const bores = scope.keep(scope.kernel.Manifold.union(cutters.map((cutter) => scope.solidOf(cutter))));
    const { solid: body, mark } = scope.markedSolidOf(solid, own);
    return success(scope.unmarkedOf(scope.keep(body.subtract(bores)), mark));
  });
  if (!cut.ok) return { unclean: 'the solid kernel could not work on it' };
  if (cut.value.marked !== solid.triangles.length / 3 - own) return { unclean: 'the cut reached its border' };
  return sewable(cut.value.mesh, mesh.positions, vertexOf, border);
}

/** The cut facets with their border's vertices known again, when the border is just what it was. */
function sewable(
  cut: Mesh,
  patchPositions: Float32Array,
  vertexOf: Uint32Array,
  border: BorderEdges,
): CutPatch | Unclean {
  const known = new Map<string, number>();
  for (const vertex of border.from) known.set(pointKey(patchPositions, vertex), vertex);
  if (known.size !== new Set(border.from).size) return { unclean: 'the surface there touches itself' };
  const own = Int32Array.from(
    { length: cut.positions.length / 3 },
    (_, v) => known.get(pointKey(cut.positions, v)) ?? -1,
  );
  // In the numbers of the patch, with new ones after them.
  const vertices = vertexOf.length + own.length;
  const numbered = cut.triangles.map((v) => (own[v]! >= 0 ? own[v]! : vertexOf.length + v));
  const left = borderEdges(numbered, vertices);
  if (left === null || !sameEdges(left, border)) return { unclean: 'the cut reached its border' };
  return { ...cut, vertexOf: own.map((v) => (v < 0 ? v : vertexOf[v]!)) };
}

const sameEdges = (a: BorderEdges, b: BorderEdges): boolean =>
  a.from.length === b.from.length && a.from.every((vertex, n) => vertex === b.from[n] && a.to[n] === b.to[n]);

/** Equal for points of equal value: −0 reads as 0. */
const pointKey = (p: Float32Array, vertex: number): string =>
  `${p[3 * vertex]!},${p[3 * vertex + 1]!},${p[3 * vertex + 2]!}`;
