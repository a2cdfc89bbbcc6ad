import { failure, type Result, success } from '../result.ts';
import type { CouponMeasures } from './coupon.ts';

const names = ['x', 'y', 'z', 'foot', 'hole'] as const;

/** `x=59.76, y=59.7, z=29.9, foot=60.1, hole=7.85`, in any order, as far as measured. Fails `option-invalid`. */
export function parseCouponMeasures(text: string): Result<CouponMeasures> {
  const given = new Map<string, number>();
  for (const entry of text.split(',')) {
    const [name, figure, ...more] = entry.split('=').map((part) => part.trim()) as [string, string?];
    const value = Number(figure);
    const isKnown = names.some((known) => known === name) && !given.has(name);
    if (!isKnown || figure === undefined || figure === '' || more.length > 0 || !(value > 0)) {
      return failure(
        'option-invalid',
        `The coupon’s lengths are given in mm like x=59.76,y=59.7,z=29.9,foot=60.1,hole=7.85, each once, not \`${entry.trim().slice(0, 40)}\`.`,
      );
    }
    given.set(name, value);
  }
  const [x, y, z, foot, hole] = names.map((name) => given.get(name) ?? null) as [
    number | null,
    number | null,
    number | null,
    number | null,
    number | null,
  ];
  return success({ x, y, z, foot, hole });
}
