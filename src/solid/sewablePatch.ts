import type { Mesh } from '../core/mesh/mesh.ts';
import { type BorderEdges, borderEdges } from './borderEdges.ts';
import type { Unclean } from './closedPatch.ts';

/** Facets of a whole mesh as they were before a cut, which other facets hold on to at their border. */
export interface Sheet {
  /** Of its vertices first. */
  readonly positions: Float32Array;
  /** Vertex of the whole mesh by vertex of the sheet. */
  readonly vertexOf: Uint32Array;
  /** By vertex of the sheet. */
  readonly border: BorderEdges;
}

/** What the facets of a sheet are replaced by. */
export interface SewablePatch extends Mesh {
  /** Vertex of the whole mesh that a vertex is; −1 = a new one. */
  readonly vertexOf: Int32Array;
}

/** The facets of a cut with their border's vertices known again, when the border is just what it was. */
export function sewablePatch(cut: Mesh, { positions, vertexOf, border }: Sheet): SewablePatch | Unclean {
  const known = new Map<string, number>();
  for (const vertex of border.from) known.set(pointKey(positions, vertex), vertex);
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
