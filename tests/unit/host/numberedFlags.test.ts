import { describe, expect, it } from 'vitest';
import { numberedFlags } from '../../../src/host/numberedFlags.ts';
import type { Flag } from '../../../src/protocol/partView.ts';

const flag = (number: number, message: string): Flag => ({
  number,
  code: 'sealed-cup',
  severity: 'error',
  message,
  layer: null,
  at: null,
  opening: null,
});
const finding = (number: number | null, message: string) => ({
  number,
  code: 'sealed-cup' as const,
  message,
});

describe('numberedFlags', () => {
  it('takes the numbers of Problems, whatever the order', () => {
    const flags = [flag(1, 'a'), flag(2, 'b')];
    const numbers = numberedFlags(flags, [finding(44, 'b'), finding(43, 'a')]).map(({ number }) => number);
    expect(numbers).toEqual([43, 44]);
  });

  it('gives equal findings a number each', () => {
    const flags = [flag(1, 'a'), flag(2, 'a')];
    const numbers = numberedFlags(flags, [finding(7, 'a'), finding(8, 'a')]).map(({ number }) => number);
    expect(numbers).toEqual([7, 8]);
  });

  it('shows no flag that has no number in Problems', () => {
    expect(numberedFlags([flag(1, 'a'), flag(2, 'b')], [finding(null, 'a')])).toEqual([]);
  });
});
