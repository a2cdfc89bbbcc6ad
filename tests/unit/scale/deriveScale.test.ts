import { describe, expect, it } from 'vitest';
import { bodyMeasures, bodySpread } from '../../../src/core/scale/bodyMeasures.ts';
import { deriveScale } from '../../../src/core/scale/deriveScale.ts';
import type { KnownAs, KnownLength } from '../../../src/core/scale/knownLength.ts';

const length = (source: number, known: KnownAs, index: number | null = null): KnownLength => ({
  index,
  source,
  between: null,
  known,
});
const subject = (mm: number): KnownAs => ({ kind: 'subject', mm });
const print = (mm: number): KnownAs => ({ kind: 'print', mm });

describe('a factor from one length', () => {
  it('is the contract’s 3.4 for 130 units that are 1768 mm on the subject at 1:4', () => {
    const found = deriveScale([length(130, subject(1768))], 4, 0.5)!;
    expect(found.factor).toBe(1768 / 4 / 130);
    // Two ends, each known to 0.5 mm of 442 mm.
    expect(found.deviation / found.factor).toBeCloseTo(Math.hypot(0.5, 0.5) / 442, 9);
    expect(found.answers[0]).toMatchObject({ weight: 1, apart: null });
  });

  it('needs no ratio for a length in print, and has none without it for one of the subject', () => {
    expect(deriveScale([length(130, print(442))], null, 0.5)!.factor).toBeCloseTo(3.4, 12);
    expect(deriveScale([length(130, subject(1768))], null, 0.5)).toBeNull();
    expect(deriveScale([], 4, 0.5)).toBeNull();
  });

  it('is as uncertain as people differ: 9.9 of 193.3 mm of hand, besides the ends', () => {
    const known = { kind: 'measure', measure: 'hand-length', sex: 'men' } as const;
    const found = deriveScale([length(14.2, known)], 4, 0.5)!;
    expect(found.factor).toBeCloseTo(193.3 / 4 / 14.2, 12);
    const shares = [9.9 / 193.3, Math.hypot(0.5, 0.5) / (193.3 / 4)];
    expect(found.deviation / found.factor).toBeCloseTo(Math.hypot(...shares), 9);
  });
});

describe('a factor from several lengths', () => {
  it('of equal certainty is their mean, less uncertain by √2 where only the ends err', () => {
    const same = [length(130, print(442)), length(130, print(442))];
    const one = deriveScale([same[0]!], null, 0.5)!;
    const two = deriveScale(same, null, 0.5)!;
    expect(two.factor).toBeCloseTo(one.factor, 12);
    expect(one.deviation / two.deviation).toBeCloseTo(Math.SQRT2, 6);
  });

  it('weighs by 1/σ²: a length thirteen times as long counts 169 times as much', () => {
    const found = deriveScale([length(130, print(442)), length(10, print(34))], null, 0.5)!;
    expect(found.answers[0]!.weight / found.answers[1]!.weight).toBeCloseTo(169, 3);
  });

  it('does not grow more certain than people are by measuring one person twice', () => {
    const hand = { kind: 'measure', measure: 'hand-length', sex: 'men' } as const;
    const found = deriveScale([length(14.2, hand), length(14.2, hand)], 4, 1e-6)!;
    expect(found.deviation / found.factor).toBeCloseTo(9.9 / 193.3, 6);
  });

  it('is less certain as the Birge ratio says where they contradict each other', () => {
    const lengths = [length(100, print(340)), length(100, print(344))];
    const found = deriveScale(lengths, null, 0.5)!;
    // σ = 0.00707 each; both lie 0.02 from the middle: √(2·(0.02/0.00707)²/1) = 4.
    expect(found.factor).toBeCloseTo(3.42, 9);
    expect(found.enlarged).toBeCloseTo(4, 4);
    expect(found.deviation).toBeCloseTo((4 * 0.00707107) / Math.SQRT2, 6);
    expect(found.answers.map(({ apart }) => apart!.toFixed(3))).toEqual(['4.000', '4.000']);
  });
});

describe('published measures', () => {
  it('of both sexes together have the mean and the spread of two populations mixed', () => {
    // Law of total variance: the mean variance and the variance of the means.
    const { men, women } = bodyMeasures.stature;
    const both = bodySpread('stature', null);
    expect(both.mean).toBeCloseTo((men.mean + women.mean) / 2, 12);
    const variance =
      (men.deviation ** 2 + women.deviation ** 2) / 2 +
      ((men.mean - both.mean) ** 2 + (women.mean - both.mean) ** 2) / 2;
    expect(both.deviation ** 2).toBeCloseTo(variance, 6);
  });

  it.each([
    // 1755 ± 71 and 1625 ± 64 mm: U.S. adults of 19 to 65, tables in the online course of the City University of Hong Kong.
    ['stature', 'men', 1755, 71],
    ['stature', 'women', 1625, 64],
    // Heads of 0.130 of the stature: Drillis & Contini 1966, from memory.
    ['head-height', 'men', 0.13 * 1756, 12],
    ['hand-length', 'men', 0.108 * 1756, 12],
    ['foot-length', 'men', 0.152 * 1756, 14],
  ] as const)('%s of %s agrees with another source', (measure, sex, mean, deviation) => {
    const found = bodySpread(measure, sex);
    expect(Math.abs(found.mean - mean)).toBeLessThan(0.5 * deviation);
    expect(found.deviation / deviation).toBeGreaterThan(0.7);
    expect(found.deviation / deviation).toBeLessThan(1.3);
  });
});
