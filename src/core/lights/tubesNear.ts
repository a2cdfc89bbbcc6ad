import { segmentsApart } from '../segmentsApart.ts';
import { norm, subtract, type Vec3 } from '../vector.ts';
import { type ChainPiece, chainWithin, cutUp } from './chainWithin.ts';
import type { LightFacts } from './lightPasses.ts';
import { nearestPiece, pieceBlocks } from './pieceBlocks.ts';

/** Where two tubes come near each other, print frame, mm. */
export interface NearTubes {
  /** Solid between them; 0 or less where one runs into the other. */
  readonly betweenMm: number;
  /** On the first one's middle line, and how far along it. */
  readonly at: Vec3;
  readonly alongMm: number;
}

type Tube = Pick<LightFacts, 'points' | 'radiusMm' | 'passes'>;

/**
 * Where two tubes leave less than `leastMm` of solid between them inside the part, one place for each stretch of the first
 * that is so near. A tube whose own end lies in the other branches off it: from there until the two are apart
 * nothing is told.
 */
export function tubesNear(first: Tube, second: Tube, leastMm: number): NearTubes[] {
  const reach = first.radiusMm + second.radiusMm;
  const [own, others] = [first, second].map(({ points, passes }) =>
    passes.flatMap((pass) => cutUp(chainWithin(points, pass), PIECE_MM)),
  ) as [ChainPiece[], ChainPiece[]];
  const branches = [
    ...branchesFrom(own, first, others, second.radiusMm).map(({ along }) => along),
    ...branchesFrom(others, second, own, first.radiusMm).map(({ near }) => near),
  ];
  const runs = runsNear(own, others, reach + leastMm);
  return runs
    .filter(({ fromMm, toMm }) => !branches.some((along) => along >= fromMm - SAME && along <= toMm + SAME))
    .map(({ apart, at, alongMm }) => ({ betweenMm: apart - reach, at, alongMm }));
}

/** mm. */
const SAME = 1e-6;
/** Stretches are told apart by pieces no longer than this, mm. */
const PIECE_MM = 1;

interface Run {
  readonly fromMm: number;
  readonly toMm: number;
  readonly apart: number;
  readonly at: Vec3;
  readonly alongMm: number;
}

/** Stretches of the first chain's pieces that each come nearer to the second than `limit`. */
function runsNear(own: readonly ChainPiece[], others: readonly ChainPiece[], limit: number): Run[] {
  const blocks = pieceBlocks(others);
  const runs: Run[] = [];
  for (const piece of own) {
    const near = nearestPiece(piece, blocks, limit);
    if (near.apart >= limit) continue;
    const toMm = piece.fromMm + piece.lengthMm;
    const alongMm = piece.fromMm + norm(subtract(near.at, piece.from));
    const last = runs.at(-1);
    if (last === undefined || piece.fromMm > last.toMm + SAME)
      runs.push({ fromMm: piece.fromMm, toMm, apart: near.apart, at: near.at, alongMm });
    else
      runs[runs.length - 1] =
        near.apart < last.apart
          ? { fromMm: last.fromMm, toMm, apart: near.apart, at: near.at, alongMm }
          : { ...last, toMm };
  }
  return runs;
}

/** Ends of one tube inside the other: where along itself, and along the other. */
function branchesFrom(
  own: readonly ChainPiece[],
  { points }: Tube,
  others: readonly ChainPiece[],
  otherRadiusMm: number,
): { readonly along: number; readonly near: number }[] {
  const [first, last] = [own[0], own.at(-1)];
  if (first === undefined || last === undefined) return [];
  const ends = [
    { at: first.from, along: first.fromMm, isEnd: norm(subtract(first.from, points[0]!)) < SAME },
    {
      at: last.to,
      along: last.fromMm + last.lengthMm,
      isEnd: norm(subtract(last.to, points.at(-1)!)) < SAME,
    },
  ];
  return ends.flatMap(({ at, along, isEnd }) => {
    if (!isEnd) return [];
    const near = others.reduce(
      (best, piece) => {
        const { onSecond } = segmentsApart(at, at, piece.from, piece.to);
        const apart = norm(subtract(at, onSecond));
        const on = piece.fromMm + norm(subtract(onSecond, piece.from));
        return apart < best.apart ? { apart, on } : best;
      },
      { apart: Number.POSITIVE_INFINITY, on: 0 },
    );
    return near.apart <= otherRadiusMm ? [{ along, near: near.on }] : [];
  });
}
