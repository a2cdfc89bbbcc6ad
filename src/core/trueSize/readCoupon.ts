import { roundTo } from '../kit/rounding.ts';
import { failure, type Result, success } from '../result.ts';
import { type CouponMeasures, coupon } from './coupon.ts';

/** As the manifest has it: percent along x, y and z, and mm. Null where the measures do not tell. */
export interface CouponReading {
  readonly shrinkage: readonly [number, number, number] | null;
  readonly spread: number | null;
  readonly boreLoss: number | null;
  /** What is doubtful, a sentence each. */
  readonly notes: readonly string[];
}

/** A length that is farther from the drawn one, by share, is a slip of the pen or of the hand. */
const FARTHEST = 0.1;
/** Calipers read to about this, from memory; two faces make one length. */
export const READING_MM = 0.02;

/**
 * What a coupon drawn as it is (nothing compensated) tells of its resin. A length L that comes out as l has
 * shrunk by 1 − l/L; a foot is longer than its arm by the spread at both ends; a hole of D comes out as
 * D·(1 − s) less the loss. A direction that was not measured takes the mean of those that were. Geometry.
 *
 * Fails `coupon-unlikely` where a length is farther than a tenth from the drawn one.
 */
export function readCoupon({ x, y, z, foot, hole }: CouponMeasures): Result<CouponReading> {
  const drawn: readonly [string, number | null, number][] = [
    ['x', x, coupon.armMm],
    ['y', y, coupon.armMm],
    ['z', z, coupon.postMm],
    ['foot', foot, coupon.armMm],
    ['hole', hole, coupon.holeMm],
  ];
  for (const [name, measured, length] of drawn) {
    if (measured === null || Math.abs(measured - length) <= FARTHEST * length) continue;
    return failure(
      'coupon-unlikely',
      `${name} measures ${measured} mm where the coupon has ${length} mm; measure it again, in mm.`,
    );
  }
  const shares = [x, y, z].map((length, axis) => (length === null ? null : 1 - length / drawn[axis]![2]));
  const known = shares.filter((share) => share !== null);
  const mean = known.length === 0 ? null : known.reduce((sum, share) => sum + share, 0) / known.length;
  const flat = [shares[0], shares[1]].filter((share) => share !== null && share !== undefined);
  const inPlane = flat.length === 0 ? mean : flat.reduce((sum, share) => sum + share, 0) / flat.length;
  const spread = foot === null || x === null ? null : (foot - x) / 2;
  const loss = hole === null || inPlane === null ? null : coupon.holeMm * (1 - inPlane) - hole;
  const notes: string[] = [];
  const atLeast0 = (value: number, what: string, digits: number): number => {
    if (value < 0) notes.push(`${what} comes out below 0; taken as 0.`);
    return roundTo(Math.max(0, value), digits);
  };
  const reading: Omit<CouponReading, 'notes'> = {
    shrinkage:
      mean === null
        ? null
        : [
            atLeast0(100 * (shares[0] ?? inPlane!), 'The shrinkage along x', 2),
            atLeast0(100 * (shares[1] ?? inPlane!), 'The shrinkage along y', 2),
            atLeast0(100 * (shares[2] ?? mean), 'The upright shrinkage', 2),
          ],
    spread: spread === null ? null : atLeast0(spread, 'The spread', 3),
    boreLoss: loss === null ? null : atLeast0(loss, 'The loss of bores', 3),
  };
  return success({ ...reading, notes: [...notes, ...notTold({ x, y, z, foot, hole }), uncertainty] });
}

const uncertainty = `Calipers read to ${READING_MM} mm or so: that is ${roundTo((100 * READING_MM) / coupon.armMm, 2)} % along an arm, ${roundTo((100 * READING_MM) / coupon.postMm, 2)} % along the post. Measure more than once, and cured as the parts will be.`;

function notTold({ x, y, z, foot, hole }: CouponMeasures): string[] {
  const missing = [x === null && 'x', y === null && 'y', z === null && 'z'].filter((name) => name !== false);
  return [
    ...(missing.length > 0 && missing.length < 3
      ? [`Not measured: ${missing.join(', ')}; the others stand for ${missing.length === 1 ? 'it' : 'them'}.`]
      : []),
    ...(foot !== null && x === null ? ['Without x the foot tells no spread.'] : []),
    ...(hole !== null && missing.length === 3 ? ['Without a length the hole tells no loss.'] : []),
  ];
}
