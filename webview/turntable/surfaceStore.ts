import type { PackedSurface } from '../../src/core/surface/packedSurface.ts';
import { openSurfaceAssembly } from '../../src/protocol/surfaceAssembly.ts';
import type { SurfacePiece } from '../../src/protocol/surfacePiece.ts';

/** A surface as far as it has come. */
export interface StoredSurface {
  /** Coarsest first; none when there is nothing to draw. */
  readonly levels: readonly PackedSurface[];
  /** The levels are those that stay. */
  readonly refined: boolean;
  readonly fullTriangles: number;
}

/** The surfaces that the host has sent, by key. */
export interface SurfaceStore {
  /** True when there is something new to draw. */
  add(piece: SurfacePiece): boolean;
  get(key: string | null): StoredSurface | null;
  keepOnly(keys: readonly string[]): void;
}

export function openSurfaceStore(): SurfaceStore {
  const assembly = openSurfaceAssembly();
  const stored = new Map<string, StoredSurface>();
  /** Refined levels wait here until all of them are there; the first picture stays until then. */
  const waiting = new Map<string, PackedSurface[]>();

  return {
    add(piece) {
      const completed = assembly.add(piece);
      if (completed === null) return false;
      const { key, refined, fullTriangles, surface, last } = completed;
      const before = stored.get(key);
      if (!refined) {
        if (before?.refined || surface === null) return false;
        const begun = piece.data?.level === 0 ? [] : (before?.levels ?? []);
        stored.set(key, { levels: [...begun, surface], refined, fullTriangles });
        return true;
      }
      const levels = piece.data === null || piece.data.level === 0 ? [] : (waiting.get(key) ?? []);
      if (surface !== null) levels.push(surface);
      if (last) waiting.delete(key);
      else waiting.set(key, levels);
      // Better a coarse picture than none.
      if (!last && before !== undefined && !before.refined) return false;
      stored.set(key, { levels: [...levels], refined: true, fullTriangles });
      return true;
    },
    get: (key) => (key === null ? null : (stored.get(key) ?? null)),
    keepOnly(keys) {
      assembly.keepOnly(keys);
      for (const map of [stored, waiting]) {
        for (const key of [...map.keys()]) if (!keys.includes(key)) map.delete(key);
      }
    },
  };
}
