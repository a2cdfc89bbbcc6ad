import { describe, expect, it, test } from 'vitest';
import { airingDiameter, heldHead } from '../../../src/core/drainage/airWay.ts';
import { attitudeWords } from '../../../src/core/drainage/attitudeWords.ts';
import { downOfTurn } from '../../../src/core/drainage/downOfTurn.ts';
import { freeingDiameter } from '../../../src/core/drainage/freeingDiameter.ts';
import { turnDown } from '../../../src/core/turnDown.ts';
import { normalized, type Vec3 } from '../../../src/core/vector.ts';
import * as shapes from '../../shapes.ts';

const resin = { viscosity: 0.3, density: 1100, surfaceTension: 0.035 };

test.each([[[0, 0, 0]], [[90, 0, 0]], [[0, -90, 35]], [[20, 130, -70]]] as [Vec3][])(
  'what a turn of %s brings down',
  (turn) => {
    const down = shapes.turned(downOfTurn(turn), turn);
    [0, 0, -1].forEach((c, axis) => {
      expect(down[axis]).toBeCloseTo(c, 12);
    });
  },
);

test('a turn that was found leads back to its direction', () => {
  for (const way of [
    [1, 2, 3],
    [-0.3, 0.1, -2],
    [0, 0, 1],
  ] as Vec3[]) {
    const down = normalized(way);
    const back = downOfTurn(turnDown(down));
    // Whole degrees.
    expect(down.reduce((sum, c, axis) => sum + c * back[axis]!, 0)).toBeGreaterThan(0.9998);
  }
});

describe('an attitude in words', () => {
  it.each([
    [[0, 0, -1], 'plate end down'],
    [[0, 0, 1], 'film end down'],
    [[0.1, 0, -1], 'plate end down'],
    [[1, 0.1, 0], 'lying, its plate +x side down'],
    [[0, -1, 0.1], 'lying, its plate −y side down'],
    [[-1, 0, -1], 'plate end down, tipped 45° with its plate −x side down'],
    [[1, 1, Math.sqrt(2)], 'film end down, tipped 45° with its plate +x +y side down'],
    [[0.2, 1, Math.sqrt(1.04) * Math.sqrt(3)], 'film end down, tipped 30° with its plate +y side down'],
  ] as [Vec3, string][])('%s: %s', (down, words) => {
    expect(attitudeWords(normalized(down))).toBe(words);
  });
});

test('a hole that frees a pond holds back its lowest tenth, a capillary length at the least', () => {
  for (const tenth of [2, 3, 4]) {
    expect(heldHead(freeingDiameter(tenth, resin) / 2, resin)).toBeCloseTo(tenth, 9);
  }
  // physics.md 2.6: 1.801 mm; a hole of four of them holds back one.
  expect(freeingDiameter(0.05, resin)).toBeCloseTo(4 * 1.801, 2);
  expect(freeingDiameter(100, resin)).toBe(2);
  expect(airingDiameter(resin)).toBeCloseTo(2 * 1.801, 2);
});
