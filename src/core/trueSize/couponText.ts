import { figure } from '../kit/rules/figures.ts';
import { coupon } from './coupon.ts';
import type { CouponReading } from './readCoupon.ts';

/** What to do with the coupon, a sentence each. */
export const couponAdvice: readonly string[] = [
  'Print it flat on the plate without supports, wash and cure it as your parts, and measure it in mm:',
  `x and y along the arms above the base layers (drawn ${coupon.armMm}), z from the top of an arm to the top of the post (${coupon.postMm}), foot along the x arm where it stood on the plate (${coupon.armMm}), hole across a hole, the mean of both (${coupon.holeMm}).`,
  'Its mark for x is the arm that lies along the plate’s x: scratch it before you take it off.',
];

/** What a coupon told, for people. */
export function couponText(resin: string, { shrinkage, spread, boreLoss, notes }: CouponReading): string {
  const lines = [
    ...(shrinkage === null ? [] : [`shrinkage: [${shrinkage.join(', ')}] %`]),
    ...(spread === null ? [] : [`spread: ${figure(spread, 'mm')}`]),
    ...(boreLoss === null ? [] : [`bore-loss: ${figure(boreLoss, 'mm')}`]),
  ];
  return [`${resin}: ${lines.join(', ') || 'nothing'}`, ...notes].join('\n');
}
