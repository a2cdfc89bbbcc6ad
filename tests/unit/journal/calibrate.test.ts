import { describe, expect, it } from 'vitest';
import { calibratePeel, calibratePull, peelBound } from '../../../src/core/kit/journal/calibrate.ts';
import type { LayerPull, PrintEntry } from '../../../src/core/kit/journal/journal.ts';
import { mostFailing, nearestPrints } from '../../../src/core/kit/journal/nearestPrints.ts';
import { print, pull } from './prints.ts';

describe('what one layer says of the peel pressure', () => {
  it('is, without suction, what it was reckoned with times what holds it', () => {
    // 2000 mm² at 10 kPa pull 20 N.
    expect(peelBound(pull({ holds: 1.5 }), 10)).toBeCloseTo(15, 9);
  });
  it('leaves the suction out, which does not grow with the peel', () => {
    // 20 N of peel and 2 N of suction, held twice: 44 N less 2 N over 2000 mm².
    expect(peelBound(pull({ pull_n: 22, holds: 2 }), 10)).toBeCloseTo(21, 9);
    // Where a cup pulls more than a tenth, its suction is an upper bound of which too much is left.
    expect(peelBound(pull({ pull_n: 22.3, holds: 2 }), 10)).toBeNull();
  });
  it('is nothing where nothing is known of what holds, or nothing is printed', () => {
    expect([peelBound(pull({ holds: null }), 10), peelBound(pull({ area_mm2: 0 }), 10)]).toEqual([
      null,
      null,
    ]);
  });
});

const good = (holds: number): PrintEntry => print({ figures: { weakest: pull({ holds }) } });
const off = (holds: number, at: LayerPull | null = null): PrintEntry =>
  print({ result: 'off-plate', figures: { weakest: pull({ holds }), failed: at } });

describe('the peel pressure from prints', () => {
  it('is not lowered by one good print, nor by two, but by the third, to what all three say', () => {
    const two = [good(0.5), good(0.6)];
    expect(calibratePeel(two, 10)).toMatchObject({ good: 2, atMost: 5, byThree: null, proposed: null });
    expect(calibratePeel([...two, good(0.7)], 10)).toMatchObject({ atMost: 5, byThree: 7, proposed: 7 });
  });
  it('is raised by one print that came off, in the layer that is told', () => {
    expect(calibratePeel([off(1.2)], 10)).toMatchObject({ failed: 1, atLeast: 12, proposed: 12 });
    expect(calibratePeel([off(1.2, pull({ holds: 1.625 }))], 10)).toMatchObject({
      atLeast: 16.25,
      proposed: 17,
    });
  });
  it('moves no further than a factor of two at once, and never past an atmosphere', () => {
    expect(calibratePeel([off(7)], 10).proposed).toBe(20);
    expect(calibratePeel([good(0.1), good(0.1), good(0.1)], 10).proposed).toBe(5);
    const strong = print({
      result: 'off-plate',
      figures: { peel_kpa: 80, weakest: pull({ pull_n: 160, holds: 3 }) },
    });
    expect(calibratePeel([strong], 80).proposed).toBe(101.325);
    expect(calibratePeel([good(0.1), good(0.1), good(0.1)], 5.55).proposed).toBe(2.775);
  });
  it('stays where prints contradict each other, and says so', () => {
    const found = calibratePeel([good(0.5), good(0.6), good(0.7), off(2)], 10);
    expect(found).toMatchObject({ contradicts: true, proposed: null });
    expect(found.why).toContain('contradict');
  });
  it('stays where the prints agree with it, or tell nothing', () => {
    expect(calibratePeel([good(3), good(3), good(3), off(0.8)], 10).proposed).toBeNull();
    const silent = [
      print({ figures: null }),
      print({ result: 'failed' }),
      print({ figures: { weakest: null } }),
    ];
    expect(calibratePeel(silent, 10)).toMatchObject({ good: 0, proposed: null, atMost: null });
    expect(calibratePeel([], 10).why).toContain('No print tells');
  });
});

describe('what rounds to the number that stands, or past it,', () => {
  it('is no reason to change it', () => {
    const peel = (holds: number, current: number) =>
      calibratePeel([good(holds), good(holds), good(holds)], current).proposed;
    expect(peel(1.21, 12.5)).toBeNull();
    expect(peel(1.15, 12)).toBeNull();
    expect(calibratePeel([off(1.2)], 12).proposed).toBeNull();
    const bore = (newtons: number) => print({ figures: { peak: pull({ pull_n: newtons }) } });
    expect(calibratePull([bore(12.9), bore(12.9), bore(12.9)], 12.5, 10).proposed).toBeNull();
    expect(calibratePull([bore(104), bore(104), bore(104)], 100, 10).proposed).toBeNull();
  });
});

describe('a print that let go elsewhere than where its hold is known', () => {
  const withSupports = (supports: 'planned' | 'none') => ({ ...print().settings!, supports });
  it('tells nothing: its raft of planned supports, or its supports where none were planned', () => {
    const strong = { weakest: pull({ holds: 5 }), failed: pull({ holds: 5 }) };
    const wrong = [
      print({ result: 'off-plate', settings: withSupports('planned'), figures: strong }),
      print({ result: 'off-supports', settings: withSupports('none'), figures: strong }),
    ];
    expect(calibratePeel(wrong, 10)).toMatchObject({ failed: 0, proposed: null });
    expect(calibratePull(wrong, 100, 10)).toMatchObject({ failed: 0, proposed: null });
    const right = print({ result: 'off-supports', settings: withSupports('planned'), figures: strong });
    expect(calibratePeel([right], 10)).toMatchObject({ failed: 1, proposed: 20 });
  });
});

describe('the limit of the pull from prints', () => {
  const bore = (newtons: number, peel_kpa = 10): PrintEntry =>
    print({ figures: { peel_kpa, peak: pull({ pull_n: newtons }) } });
  const lost = (newtons: number): PrintEntry =>
    print({
      result: 'off-plate',
      figures: { peak: pull({ pull_n: 500 }), failed: pull({ pull_n: newtons }) },
    });
  it('goes up by the third print that bore more, to what all three bore', () => {
    expect(calibratePull([bore(180), bore(150)], 100, 10).proposed).toBeNull();
    expect(calibratePull([bore(180), bore(150), bore(131)], 100, 10).proposed).toBe(130);
    expect(calibratePull([bore(900), bore(900), bore(900)], 100, 10).proposed).toBe(200);
  });
  it('comes down by one that came off below it', () => {
    expect(calibratePull([lost(77.7)], 100, 10)).toMatchObject({ atMost: 77.7, proposed: 77 });
  });
  it('is told nothing by a print of which it was known, or unknown, that it would not hold', () => {
    const weak = (holds: number | null): PrintEntry =>
      print({ result: 'off-plate', figures: { failed: pull({ pull_n: 77.7, holds }) } });
    for (const holds of [null, 0.9]) expect(calibratePull([weak(holds)], 100, 10).failed).toBe(0);
  });
  it('stays where they contradict each other, and counts none of another peel pressure', () => {
    expect(calibratePull([bore(180), bore(150), bore(131), lost(80)], 100, 10).proposed).toBeNull();
    expect(calibratePull([bore(180, 5), bore(150, 5), bore(131, 5)], 100, 10)).toMatchObject({
      good: 0,
      proposed: null,
    });
  });
});

describe('prints like a part', () => {
  const like = { size_mm: [40, 30, 90], pull_n: 20 } as const;
  it('are those within twice its size and pull, the nearest first, the later of two alike', () => {
    const sized = (part: string, z: number, newtons: number): PrintEntry =>
      print({ part, figures: { size_mm: [40, 30, z], peak: pull({ pull_n: newtons }) } });
    const found = nearestPrints(
      [
        sized('same', 90, 20),
        sized('far', 90, 45),
        sized('near', 90, 30),
        sized('again', 90, 20),
        print({ figures: null }),
      ],
      like,
    );
    expect(found.near.map(({ entry }) => entry.part)).toEqual(['again', 'same', 'near']);
    expect(found.near[2]!.times).toBeCloseTo(1.5, 9);
    // Eight times the volume is twice the size.
    expect(nearestPrints([sized('tall', 719, 20), sized('taller', 721, 20)], like).near).toHaveLength(1);
  });

  it('tell how many may fail at most: 1 − 0.05^(1/n) without a failure, by Clopper and Pearson with some', () => {
    for (const n of [1, 3, 10, 40]) expect(mostFailing(0, n)).toBeCloseTo(1 - 0.05 ** (1 / n), 9);
    // One-sided 95 % bounds of 1 of 10 and 2 of 20: 0.3942 and 0.2826, from memory of published tables.
    expect(mostFailing(1, 10)).toBeCloseTo(0.3942, 3);
    expect(mostFailing(2, 20)).toBeCloseTo(0.2826, 3);
    expect(mostFailing(4, 4)).toBe(1);
    const { cameOut, mayFailShare } = nearestPrints([print(), print({ result: 'failed' })], like);
    expect([cameOut, mayFailShare!.toFixed(4)]).toEqual([1, mostFailing(1, 2).toFixed(4)]);
  });
});
