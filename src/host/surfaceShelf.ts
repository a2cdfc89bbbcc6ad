import type { SurfacePiece } from '../protocol/surfacePiece.ts';

/**
 * The surfaces that the host has of the part in view, in pieces as the engine sent them: the page is
 * thrown away while hidden and gets them again. Also what the engine need not send a second time.
 */
export interface SurfaceShelf {
  add(piece: SurfacePiece): void;
  /** Drops the surfaces of other keys. True when there were any. */
  keepOnly(keys: readonly string[]): boolean;
  /** In the order in which they came; a first picture only where the refined surface is not whole. */
  pieces(): readonly SurfacePiece[];
  /** Keys of the surfaces whose refined levels are all here. */
  whole(): readonly string[];
}

export function openSurfaceShelf(): SurfaceShelf {
  /** By key, the pieces of the first picture and of the refined surface. */
  const shelf = new Map<string, { first: SurfacePiece[]; refined: SurfacePiece[] }>();
  const isWhole = (pieces: readonly SurfacePiece[]): boolean => pieces.length === pieces[0]?.count;

  return {
    add(piece) {
      const kept = shelf.get(piece.key) ?? { first: [], refined: [] };
      shelf.set(piece.key, kept);
      const set = piece.refined ? kept.refined : kept.first;
      if (piece.index === 0) set.length = 0;
      if (piece.index === set.length) set.push(piece);
      if (isWhole(kept.refined)) kept.first.length = 0;
    },
    keepOnly(keys) {
      const others = [...shelf.keys()].filter((key) => !keys.includes(key));
      for (const key of others) shelf.delete(key);
      return others.length > 0;
    },
    pieces: () => [...shelf.values()].flatMap(({ first, refined }) => [...first, ...refined]),
    whole: () => [...shelf].filter(([, { refined }]) => isWhole(refined)).map(([key]) => key),
  };
}
