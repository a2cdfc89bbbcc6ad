import type { Vec3 } from '../vector.ts';
import { type ChainPiece, chainWithin } from './chainWithin.ts';
import type { LightFacts, LightPass } from './lightPasses.ts';

/** Resin that stays in a tube while the part hangs. Print frame, mm: the film lies at greater z, so resin runs that way. */
export interface HeldInTube {
  readonly volumeMm3: number;
  /** Where it stands deepest, and how far along the light. */
  readonly at: Vec3;
  readonly alongMm: number;
  /** No end of the tube is open: what fills it stays. */
  readonly isSealed: boolean;
}

/** A straight piece as the part hangs: heights of its middle line, the plate above. */
interface Hanging {
  readonly piece: ChainPiece;
  readonly from: number;
  readonly to: number;
  /** Half of what its section measures upright, mm: its radius where it lies level, nothing where it stands. */
  readonly half: number;
}

/**
 * What stays in one pass of a tube through a part. Everywhere resin stands as high as the lower of the two sills on the
 * ways to the open ends; an end in the solid is no way out. A sill is the lowest point of the highest section on the
 * way. What clings to the wall, or is held by a closed end above it as in a straw, is not counted. Null for a tube that
 * empties.
 */
export function heldInTube(
  { points, radiusMm }: Pick<LightFacts, 'points' | 'radiusMm'>,
  pass: LightPass,
): HeldInTube | null {
  const row = chainWithin(points, pass).map((piece) => hanging(piece, radiusMm));
  const inverts = invertsOf(row);
  const before = sills(inverts, pass.enters !== null);
  const after = sills(inverts.toReversed(), pass.leaves !== null).toReversed();
  let fullMm = 0;
  let deepest = { depth: Number.NEGATIVE_INFINITY, at: null as Vec3 | null, alongMm: 0 };
  for (const [n, one] of row.entries()) {
    const level = Math.min(before[n]!, after[n]!);
    const share = shareFilled(one, level);
    if (share === 0) continue;
    const { piece } = one;
    fullMm += share * piece.lengthMm;
    const isStartLower = one.from <= one.to;
    // A tube without a way out is full to its top.
    const depth = Math.min(level, Number.MAX_SAFE_INTEGER) - Math.min(one.from, one.to);
    if (depth <= deepest.depth) continue;
    deepest = {
      depth,
      at: isStartLower ? piece.from : piece.to,
      alongMm: piece.fromMm + (isStartLower ? 0 : piece.lengthMm),
    };
  }
  if (deepest.at === null) return null;
  return {
    volumeMm3: Math.PI * radiusMm ** 2 * fullMm,
    at: deepest.at,
    alongMm: deepest.alongMm,
    isSealed: pass.enters === null && pass.leaves === null,
  };
}

function hanging(piece: ChainPiece, radiusMm: number): Hanging {
  const { from, to, lengthMm } = piece;
  const level = Math.hypot(to[0] - from[0], to[1] - from[1]) / lengthMm;
  return { piece, from: -from[2], to: -to[2], half: radiusMm * Math.min(1, level) };
}

/** For each piece the sill from its near end to the first one's; no way out there where that is closed. */
function sills(inverts: readonly number[], isOpen: boolean): number[] {
  let highest = isOpen ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY;
  return inverts.slice(0, -1).map((invert) => {
    highest = Math.max(highest, invert);
    return highest;
  });
}

/** The lowest point of the tube at each end of a piece: where two meet, of the one that lies more level. */
function invertsOf(row: readonly Hanging[]): number[] {
  return [...row.map(({ from }) => from), ...row.slice(-1).map(({ to }) => to)].map(
    (height, n) => height - Math.max(row[n - 1]?.half ?? 0, row[n]?.half ?? 0),
  );
}

/** Of an upright piece less than this measures upright, mm. */
const UPRIGHT_MM = 1e-9;

/** How much of a piece lies under a level. */
function shareFilled({ from, to, half }: Hanging, level: number): number {
  const [low, high] = [Math.min(from, to), Math.max(from, to)];
  if (level >= high + half) return level > low ? 1 : 0;
  if (level <= low - half) return 0;
  if (half < UPRIGHT_MM) return (level - low) / (high - low);
  const [least, most] = [(level - high) / half, (level - low) / half];
  if (most - least < 1e-6) return discUnder((least + most) / 2);
  return (sumOfDiscs(most) - sumOfDiscs(least)) / (most - least);
}

const within = (x: number): number => Math.min(1, Math.max(-1, x));

/** Share of a disc of radius 1 that lies under a chord at the height `x` over its middle. */
function discUnder(x: number): number {
  const chord = within(x);
  return 0.5 + (chord * Math.sqrt(1 - chord ** 2) + Math.asin(chord)) / Math.PI;
}

/** Integral of `discUnder` from −1 up to `x`. */
function sumOfDiscs(x: number): number {
  const chord = within(x);
  const root = Math.sqrt(1 - chord ** 2);
  return Math.max(0, x - 1) + chord / 2 + (chord * Math.asin(chord) + root - root ** 3 / 3) / Math.PI;
}
