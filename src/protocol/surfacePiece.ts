import type { PackedSurface, SurfaceHead } from '../core/surface/packedSurface.ts';

/**
 * How a drawn surface travels: in a set of levels of detail, and each set in pieces small enough
 * that no message holds up another. A key names a surface for good: same key, same bytes.
 */
export interface SurfacePiece {
  readonly key: string;
  /** A set for the first picture is made in a moment; the refined one takes its place when it is complete. */
  readonly refined: boolean;
  /** Of the mesh the engine works on; more than are drawn when that is too many to draw. */
  readonly fullTriangles: number;
  /** Levels of the set, coarsest first. Empty: there is nothing to draw. */
  readonly levels: readonly SurfaceHead[];
  /** Which piece of the set this is; piece 0 begins it anew. */
  readonly index: number;
  readonly count: number;
  /** Null in a set without levels. */
  readonly data: PieceData | null;
}

export interface PieceData {
  readonly level: number;
  readonly array: 'vertices' | 'triangles';
  /** Where `values` stand in the array. */
  readonly at: number;
  readonly values: Uint16Array | Uint32Array;
}

export interface SurfaceSet {
  readonly key: string;
  readonly refined: boolean;
  readonly fullTriangles: number;
  /** Coarsest first. */
  readonly levels: readonly PackedSurface[];
}

export const mostBytesPerPiece = 2 ** 20;

/** Coarse levels come first, so that something can be drawn while the finest is on its way. */
export function cutIntoPieces({ key, refined, fullTriangles, levels }: SurfaceSet): SurfacePiece[] {
  const heads = levels.map(headOf);
  const data = levels.flatMap((surface, level) => [
    ...slices(surface.vertices).map((slice) => ({ level, array: 'vertices' as const, ...slice })),
    ...slices(surface.triangles).map((slice) => ({ level, array: 'triangles' as const, ...slice })),
  ]);
  const all: (PieceData | null)[] = data.length === 0 ? [null] : data;
  return all.map((piece, index) => ({
    key,
    refined,
    fullTriangles,
    levels: heads,
    index,
    count: all.length,
    data: piece,
  }));
}

function headOf({ origin, step, errorMm, vertexCount, triangleCount }: PackedSurface): SurfaceHead {
  return { origin, step, errorMm, vertexCount, triangleCount };
}

function slices(array: Uint16Array | Uint32Array): Pick<PieceData, 'at' | 'values'>[] {
  const most = mostBytesPerPiece / array.BYTES_PER_ELEMENT;
  // Copies: a view would take its whole buffer along to the other side.
  return Array.from({ length: Math.ceil(array.length / most) }, (_, i) => ({
    at: i * most,
    values: array.slice(i * most, (i + 1) * most),
  }));
}
