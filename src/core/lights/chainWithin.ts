import { norm, subtract, type Vec3 } from '../vector.ts';
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
