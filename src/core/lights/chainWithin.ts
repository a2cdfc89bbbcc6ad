import { add, norm, scale, subtract, type Vec3 } from '../vector.ts';
import type { LightPass } from './lightPasses.ts';

/** A straight piece of a chain, mm. */
export interface ChainPiece {
  readonly from: Vec3;
  readonly to: Vec3;
  /** From the chain's start. */
  readonly fromMm: number;
  readonly lengthMm: number;
}

/** What of a chain lies between two places along it, piece by piece. */
export function chainWithin(
  points: readonly Vec3[],
  { fromMm, toMm }: Pick<LightPass, 'fromMm' | 'toMm'>,
): ChainPiece[] {
  const pieces: ChainPiece[] = [];
  let along = 0;
  for (const [n, end] of points.slice(1).entries()) {
    const start = points[n]!;
    const way = subtract(end, start);
    const length = norm(way);
    const low = Math.max(0, fromMm - along);
    const high = Math.min(length, toMm - along);
    if (high > low) {
      const at = (mm: number): Vec3 =>
        mm === length ? end : (start.map((c, axis) => c + (mm / length) * way[axis]!) as unknown as Vec3);
      pieces.push({ from: at(low), to: at(high), fromMm: along + low, lengthMm: high - low });
    }
    along += length;
  }
  return pieces;
}

/** However long a chain is, it is cut up into about this many pieces at most. */
const MOST_PIECES = 2000;

/** The same in pieces no longer than `longestMm`. */
export function cutUp(pieces: readonly ChainPiece[], longestMm: number): ChainPiece[] {
  const whole = pieces.reduce((sum, { lengthMm }) => sum + lengthMm, 0);
  const longest = Math.max(longestMm, whole / MOST_PIECES);
  return pieces.flatMap(({ from, to, fromMm, lengthMm }) => {
    const count = Math.ceil(lengthMm / longest);
    const at = (n: number): Vec3 => (n === count ? to : add(from, scale(subtract(to, from), n / count)));
    return Array.from({ length: count }, (_, n) => ({
      from: at(n),
      to: at(n + 1),
      fromMm: fromMm + (n / count) * lengthMm,
      lengthMm: lengthMm / count,
    }));
  });
}
