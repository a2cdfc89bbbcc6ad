import { difference } from '../kit/difference.ts';
import { applyEdits, setValue, type TextEdit } from '../kit/edits.ts';
import type { CouponReading } from './readCoupon.ts';

/** What a coupon told, written to its resin as one edit; null where the text does not let itself be edited so. */
export function couponEdits(
  text: string,
  resin: string,
  { shrinkage, spread, boreLoss }: CouponReading,
): readonly TextEdit[] | null {
  const values = [
    ['shrinkage', shrinkage && [...shrinkage]],
    ['spread', spread],
    ['bore-loss', boreLoss],
  ] as const;
  let changed = text;
  for (const [key, value] of values) {
    if (value === null) continue;
    const edits = setValue(changed, ['resins', resin, key], value);
    if (edits.length === 0) return null;
    changed = applyEdits(changed, edits);
  }
  return changed === text ? [] : [difference(text, changed)];
}
