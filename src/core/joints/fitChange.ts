import { type Affine, applyAffine } from '../affine.ts';
import type { SizeDoubt } from '../trueSize/sizeDoubt.ts';
import { add, scale, subtract, type Vec3 } from '../vector.ts';
import { gapSpread } from './gapSpread.ts';
import { unpackFaces } from './jointFaces.ts';
import type { FoundJoint } from './jointFacts.ts';
import type { JointPlace } from './jointPlaces.ts';

/** How the gaps of a joint come out other than sculpted, mm; negative where they come out narrower. */
export interface FitChange {
  /** What is known and not made up for: a socket that stray light closes. */
  readonly known: GapShift;
  /** With what may be besides, everywhere at its worst. */
  readonly tightest: GapShift;
  readonly loosest: GapShift;
  /** What of `tightest` is that the parts shrink along other axes of the figure, and what that base layers spread. */
  readonly byPose: GapShift;
  readonly bySpread: GapShift;
  /** The resins of the two parts whose shrinkage or spread is not known and counts here. */
  readonly unmeasured: readonly string[];
}

/** Of the gap that a twentieth of the faces stay under, and of the one that half of them do. */
export interface GapShift {
  readonly q5: number;
  readonly median: number;
}

/** Less is rounding. */
const TELLING_MM = 1e-3;

/**
 * A part that comes out shorter by the shares s along the axes of its print frame moves a point at r from the joint's
 * middle by −S·r, S = Rᵀ·diag(s)·R with R from the joint's frame to the print frame. Two parts put together about that
 * middle leave a gap that has changed by n·(S₁ − S₂)·r, n out of the first part: Σ s₁ᵢ·(R₁n)ᵢ·(R₁r)ᵢ less the same of
 * the second. It is linear in s, so it is greatest and least at the ends of what s may be; parts of one resin share
 * one s, and in one pose nothing is left. Both S are symmetric, so neither part turns against the other.
 *
 * A socket narrower by `boreLossMm` across and base layers wider by `spreadMm` all round move a face level; of that
 * counts what lies along its normal. Source: geometry. Validity: small shares.
 */
export function fitChange(
  { joint, toPrint }: Pick<FoundJoint, 'joint' | 'toPrint'>,
  doubts: readonly [SizeDoubt, SizeDoubt],
): FitChange {
  const faces = unpackFaces(joint.faces);
  const middle = middleOf(faces);
  const socket = joint.plug === null ? null : joint.plug === 'first' ? 1 : 0;
  const shifts = faces.map((face) => {
    const { least, most } = poseShift(face, middle, toPrint, doubts);
    return {
      known:
        socket === null ? 0 : (-doubts[socket].boreLossMm / 2) * levelShare(toPrint[socket], face.outOfFirst),
      least,
      most,
      spread: -spreadAt(face, toPrint[0], doubts[0]) - spreadAt(face, toPrint[1], doubts[1]),
    };
  });
  const at = (shiftOf: (shift: (typeof shifts)[number]) => number): GapShift => {
    const moved = faces.map(({ areaMm2, gapMm }, n) => ({ areaMm2, gapMm: gapMm + shiftOf(shifts[n]!) }));
    const { q5, median } = gapSpread(moved) ?? { q5: 0, median: 0 };
    return { q5, median };
  };
  const [sculpted, known] = [at(() => 0), at((shift) => shift.known)];
  const posed = at((shift) => shift.known + shift.least);
  const tightest = at((shift) => shift.known + shift.least + shift.spread);
  const loosest = at((shift) => shift.known + shift.most);
  const [byPose, bySpread] = [less(posed, known), less(tightest, posed)];
  return {
    known: less(known, sculpted),
    tightest: less(tightest, sculpted),
    loosest: less(loosest, sculpted),
    byPose,
    bySpread,
    unmeasured: [
      ...new Set(
        doubts
          .filter(
            ({ measured }) =>
              (!measured.shrinkage && byPose.q5 < -TELLING_MM) ||
              (!measured.spread && bySpread.q5 < -TELLING_MM),
          )
          .map(({ resin }) => resin),
      ),
    ],
  };
}

const less = (a: GapShift, b: GapShift): GapShift => ({ q5: a.q5 - b.q5, median: a.median - b.median });

function middleOf(faces: readonly JointPlace[]): Vec3 {
  const area = faces.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
  const moment = faces.reduce<Vec3>((sum, { at, areaMm2 }) => add(sum, scale(at, areaMm2)), [0, 0, 0]);
  return area > 0 ? scale(moment, 1 / area) : [0, 0, 0];
}

function poseShift(
  { at, outOfFirst }: JointPlace,
  middle: Vec3,
  toPrint: FoundJoint['toPrint'],
  [first, second]: readonly [SizeDoubt, SizeDoubt],
): { readonly least: number; readonly most: number } {
  const from = subtract(at, middle);
  const [own, other] = toPrint.map((map) => {
    const [n, r] = [turned(map, outOfFirst), turned(map, from)];
    return [n[0] * r[0], n[1] * r[1], n[2] * r[2]] as const;
  }) as [Vec3, Vec3];
  if (first.resin === second.resin) return within(subtract(own, other), first);
  const [a, b] = [within(own, first), within(scale(other, -1), second)];
  return { least: a.least + b.least, most: a.most + b.most };
}

/** The least and the greatest of Σ cᵢ·sᵢ over what s may be. */
function within(c: Vec3, { least, most }: SizeDoubt): { readonly least: number; readonly most: number } {
  const sum = (pick: (...values: number[]) => number): number =>
    c.reduce((total, factor, axis) => total + pick(factor * least[axis]!, factor * most[axis]!), 0);
  return { least: sum(Math.min), most: sum(Math.max) };
}

function spreadAt({ at, outOfFirst }: JointPlace, toPrint: Affine, { spreadMm, baseMm }: SizeDoubt): number {
  if (applyAffine(toPrint, at)[2] > baseMm) return 0;
  return spreadMm * levelShare(toPrint, outOfFirst);
}

/** How much of a direction of length one lies level on the plate. */
function levelShare(toPrint: Affine, direction: Vec3): number {
  const [x, y] = turned(toPrint, direction);
  return Math.hypot(x, y);
}

const turned = ({ linear }: Affine, direction: Vec3): Vec3 =>
  applyAffine({ linear, shift: [0, 0, 0] }, direction);
