import { describe, expect, test } from 'vitest';
import {
  addBar,
  addSection,
  barStress,
  compositeSection,
  sectionStress,
} from '../../../src/core/physics/compositeSection.ts';

const disc = (d: number): number => (Math.PI / 4) * d * d;
const section = (bars: readonly (readonly [x: number, y: number, d: number])[]) => {
  const made = compositeSection();
  for (const [x, y, d] of bars) addBar(made, x, y, disc(d));
  return made;
};

/* Closed forms: Timoshenko, Strength of Materials, part I; Euler–Bernoulli beams, bolt groups. */
describe('compositeSection', () => {
  test('one bar under an eccentric pull: F/A + 32·F·e/(π·d³)', () => {
    const stress = sectionStress(section([[3, -2, 0.8]]), 2, 3.5, -2);
    expect(barStress(stress, 3, -2, 0.4)).toBeCloseTo(
      2 / disc(0.8) + (32 * 2 * 0.5) / (Math.PI * 0.8 ** 3),
      9,
    );
  });

  test('two bars far apart: the lever shares the pull between them', () => {
    const stress = sectionStress(
      section([
        [-10, 0, 0.4],
        [10, 0, 0.4],
      ]),
      4,
      5,
      0,
    );
    // 3/4 and 1/4 of it, by moments about either bar.
    expect(barStress(stress, 10, 0, 0) / (3 / disc(0.4))).toBeCloseTo(1, 3);
    expect(barStress(stress, -10, 0, 0) / (1 / disc(0.4))).toBeCloseTo(1, 3);
  });

  test('a rectangle of bars about both axes: each bar M·x/Σx² + M·y/Σy²', () => {
    const bars = [
      [-6, -4],
      [6, -4],
      [-6, 4],
      [6, 4],
    ].map(([x, y]) => [x!, y!, 0.01] as const);
    const [force, x, y] = [10, 2, 3];
    const stress = sectionStress(section(bars), force, x, y);
    const expected = force / 4 + (force * x * 6) / (4 * 36) + (force * y * 4) / (4 * 16);
    expect(barStress(stress, 6, 4, 0) * disc(0.01)).toBeCloseTo(expected, 5);
  });

  test('sections add up, wherever the axes are', () => {
    const bars = [
      [1, 2, 0.5],
      [7, -3, 0.9],
      [-4, 5, 0.4],
      [2, 2, 1.2],
    ] as const;
    const joined = section(bars.slice(0, 2));
    addSection(joined, section(bars.slice(2)));
    const there = sectionStress(section(bars.map(([x, y, d]) => [x + 90, y - 40, d])), 5, 93, -39);
    const here = sectionStress(joined, 5, 3, 1);
    for (const [x, y, d] of bars) {
      expect(barStress(there, x + 90, y - 40, d / 2)).toBeCloseTo(barStress(here, x, y, d / 2), 6);
    }
  });
});
