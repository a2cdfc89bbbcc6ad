import { segmentsApart } from '../segmentsApart.ts';
import { norm, subtract, type Vec3 } from '../vector.ts';
import type { ChainPiece } from './chainWithin.ts';

/** Pieces of a chain by boxes, so that what is far away is passed over. */
export interface PieceBlock {
  readonly low: Vec3;
  readonly high: Vec3;
  readonly pieces: readonly Straight[];
}

type Straight = Pick<ChainPiece, 'from' | 'to'>;

/** Pieces that are looked at together. */
const BLOCK = 16;

export function pieceBlocks(pieces: readonly Straight[]): PieceBlock[] {
  return Array.from({ length: Math.ceil(pieces.length / BLOCK) }, (_, n) => {
    const own = pieces.slice(n * BLOCK, (n + 1) * BLOCK);
    return { pieces: own, ...boxOf(own.flatMap(({ from, to }) => [from, to])) };
  });
}

function boxOf(points: readonly Vec3[]): Pick<PieceBlock, 'low' | 'high'> {
  const bound = (of: (...values: number[]) => number): Vec3 =>
    [0, 1, 2].map((axis) => of(...points.map((point) => point[axis]!))) as unknown as Vec3;
  return { low: bound(Math.min), high: bound(Math.max) };
}

/** How near a straight piece comes to a chain, and where on the piece; `limit` where all lies farther away. */
export function nearestPiece(
  { from, to }: Straight,
  blocks: readonly PieceBlock[],
  limit: number,
): { readonly apart: number; readonly at: Vec3 } {
  const own = boxOf([from, to]);
  let best = { apart: limit, at: from };
  for (const { low, high, pieces } of blocks) {
    const gap = Math.hypot(
      ...low.map((c, axis) => Math.max(0, c - own.high[axis]!, own.low[axis]! - high[axis]!)),
    );
    if (gap >= best.apart) continue;
    for (const piece of pieces) {
      const { onFirst, onSecond } = segmentsApart(from, to, piece.from, piece.to);
      const apart = norm(subtract(onFirst, onSecond));
      if (apart < best.apart) best = { apart, at: onFirst };
    }
  }
  return best;
}
