import {
  mostSteps,
  type PackedSurface,
  type SurfaceHead,
  wordsPerVertex,
} from '../core/surface/packedSurface.ts';
import type { PieceData, SurfacePiece } from './surfacePiece.ts';

/** Puts the pieces of surfaces together again. What does not fit is dropped with the set it belongs to. */
export interface SurfaceAssembly {
  /** The level that this piece completed, with its place in the set; null when none. */
  add(piece: SurfacePiece): CompletedLevel | null;
  /** Drops what is under way for other keys. */
  keepOnly(keys: readonly string[]): void;
}

export interface CompletedLevel {
  readonly key: string;
  readonly refined: boolean;
  readonly fullTriangles: number;
  /** Null in a set without levels. */
  readonly surface: PackedSurface | null;
  /** The whole set is there now. */
  readonly last: boolean;
}

/** Vertices and triangles of a whole set at most. More is no set of ours, and memory is set aside before it fills. */
const mostElements = 2 ** 23;
const mostLevels = 8;

interface Started {
  readonly count: number;
  next: number;
  readonly levels: readonly { readonly head: SurfaceHead; vertices: Uint16Array; triangles: Uint32Array }[];
  /** Elements filled in the level under way, of both arrays. */
  filled: number;
  level: number;
}

export function openSurfaceAssembly(): SurfaceAssembly {
  const started = new Map<string, Started>();

  function place(set: Started, data: PieceData): boolean {
    const level = set.levels[set.level];
    if (level === undefined || data.level !== set.level) return false;
    const target = data.array === 'vertices' ? level.vertices : level.triangles;
    const before = data.array === 'vertices' ? 0 : level.vertices.length;
    const fits =
      data.values.constructor === target.constructor &&
      set.filled === before + data.at &&
      data.at + data.values.length <= target.length &&
      (data.array === 'vertices' || allBelow(data.values, level.head.vertexCount));
    if (!fits) return false;
    target.set(data.values, data.at);
    set.filled += data.values.length;
    return true;
  }

  return {
    add(piece) {
      if (!isPiece(piece)) return null;
      const name = `${piece.refined} ${piece.key}`;
      if (piece.index === 0) started.set(name, start(piece));
      const set = started.get(name);
      if (set === undefined) return null;
      const fits = piece.index === set.next && piece.count === set.count;
      if (!fits || (piece.data !== null ? !place(set, piece.data) : set.levels.length > 0)) {
        started.delete(name);
        return null;
      }
      set.next++;
      const { key, refined, fullTriangles } = piece;
      const level = set.levels[set.level];
      if (level === undefined) {
        started.delete(name);
        return piece.data === null ? { key, refined, fullTriangles, surface: null, last: true } : null;
      }
      if (set.filled < level.vertices.length + level.triangles.length) return null;
      set.level++;
      set.filled = 0;
      const last = set.level === set.levels.length;
      if (last) started.delete(name);
      return {
        key,
        refined,
        fullTriangles,
        surface: { ...level.head, vertices: level.vertices, triangles: level.triangles },
        last,
      };
    },
    keepOnly(keys) {
      for (const name of [...started.keys()]) {
        if (!keys.some((key) => name.endsWith(` ${key}`))) started.delete(name);
      }
    },
  };
}

function start({ count, levels }: SurfacePiece): Started {
  return {
    count,
    next: 0,
    filled: 0,
    level: 0,
    levels: levels.map((head) => ({
      head,
      vertices: new Uint16Array(wordsPerVertex * head.vertexCount),
      triangles: new Uint32Array(3 * head.triangleCount),
    })),
  };
}

function allBelow(values: Uint16Array | Uint32Array, bound: number): boolean {
  for (let i = 0; i < values.length; i++) if (values[i]! >= bound) return false;
  return true;
}

function isPiece(piece: unknown): piece is SurfacePiece {
  if (!isRecord<keyof SurfacePiece>(piece)) return false;
  const { key, refined, fullTriangles, levels, index, count, data } = piece;
  return (
    typeof key === 'string' &&
    typeof refined === 'boolean' &&
    isCount(fullTriangles) &&
    isCount(index) &&
    isCount(count) &&
    Array.isArray(levels) &&
    levels.length <= mostLevels &&
    levels.every(isHead) &&
    levels.reduce((sum, head) => sum + head.vertexCount + head.triangleCount, 0) <= mostElements &&
    (data === null || isData(data))
  );
}

function isHead(head: unknown): head is SurfaceHead {
  if (!isRecord<keyof SurfaceHead>(head)) return false;
  const { origin, step, errorMm, vertexCount, triangleCount } = head;
  return (
    Array.isArray(origin) &&
    origin.length === 3 &&
    origin.every(Number.isFinite) &&
    isPositive(step) &&
    Number.isFinite(mostSteps * step) &&
    (errorMm === 0 || isPositive(errorMm)) &&
    isCount(vertexCount) &&
    isCount(triangleCount) &&
    vertexCount > 0 &&
    triangleCount > 0
  );
}

function isData(data: unknown): data is PieceData {
  if (!isRecord<keyof PieceData>(data)) return false;
  const { level, array, at, values } = data;
  return (
    isCount(level) &&
    (array === 'vertices' || array === 'triangles') &&
    isCount(at) &&
    (values instanceof Uint16Array || values instanceof Uint32Array) &&
    values.length > 0
  );
}

const isCount = (value: unknown): value is number =>
  typeof value === 'number' && Number.isInteger(value) && value >= 0 && value <= 2 ** 32;

const isPositive = (value: unknown): value is number =>
  typeof value === 'number' && Number.isFinite(value) && value > 0;

function isRecord<K extends string>(value: unknown): value is Record<K, unknown> {
  return typeof value === 'object' && value !== null;
}
