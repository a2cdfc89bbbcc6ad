import type { Limits, Machine } from '../kit/manifest.ts';
import type { Vec3 } from '../vector.ts';
import { coupon } from './coupon.ts';
import { READING_MM } from './readCoupon.ts';
import type { TrueSize } from './trueSize.ts';

/** What ready files do not make up for: how a part may come out other than decided. */
export interface SizeDoubt {
  /** What is not known of a resin is the same for all parts of it. */
  readonly resin: string;
  /** Shares by which lengths along the plate's x, its y and upright come out shorter than decided, at least and at most. */
  readonly least: Vec3;
  readonly most: Vec3;
  /** mm by which outlines in the base layers may grow all round; 0 where that is made up for. */
  readonly spreadMm: number;
  /** Up to where the base layers reach above the plate. */
  readonly baseMm: number;
  /** mm by which a socket comes out narrower across, known and not made up for: only bores are drilled wider. */
  readonly boreLossMm: number;
  /** False where the resin has no shrinkage, or no spread. */
  readonly measured: TrueSize['measured'];
}

/**
 * A measured shrinkage is drawn in, and what stays is how well a coupon can be read; one that was not measured may be
 * anything from none to `limits.possible-shrinkage`, along each axis for itself.
 */
export function sizeDoubt(
  { name, trueSize }: { readonly name: string; readonly trueSize: TrueSize },
  { exposure, layer }: Pick<Machine, 'exposure' | 'layer'>,
  { possibleShrinkage, possibleSpread }: Pick<Limits, 'possibleShrinkage' | 'possibleSpread'>,
): SizeDoubt {
  const { measured, boreLossMm } = trueSize;
  const [flat, upright] = [READING_MM / coupon.armMm, READING_MM / coupon.postMm];
  const share = possibleShrinkage / 100;
  return {
    resin: name,
    least: measured.shrinkage ? [-flat, -flat, -upright] : [0, 0, 0],
    most: measured.shrinkage ? [flat, flat, upright] : [share, share, share],
    spreadMm: measured.spread ? 0 : possibleSpread,
    baseMm: exposure.baseLayers * layer,
    boreLossMm,
    measured,
  };
}
