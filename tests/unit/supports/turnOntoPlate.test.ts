import { expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { castFootprint } from '../../../src/core/plates/castFootprint.ts';
import { turnOntoPlate } from '../../../src/core/supports/turnOntoPlate.ts';
import { box } from '../../shapes.ts';

/** A plank of 100 × 20 mm with a foot of 5 mm at its right end. */
const plank = castFootprint(box([100, 20, 3]), uninterrupted);
const foot = [{ x: 50, y: 0, reachMm: 5 }];

test('a quarter turn comes first, then the least turn by which all feet are within the room', () => {
  expect(turnOntoPlate(plank, foot, [40, 111])).toBe(90);
  // Along the diagonal of a square of 100 mm it is (100 + 20)/√2 = 84.9 mm wide, its foot 2·(35.4 + 5) = 80.7.
  const turned = turnOntoPlate(plank, foot, [100, 100])!;
  const width = (degrees: number) => {
    const angle = (degrees * Math.PI) / 180;
    return Math.max(100 * Math.cos(angle) + 20 * Math.sin(angle), 100 * Math.cos(angle) + 10);
  };
  expect(width(turned)).toBeLessThanOrEqual(100);
  expect(width(turned - 1)).toBeGreaterThan(100);
});

test('none is told where no turn does', () => {
  expect(turnOntoPlate(plank, foot, [80, 80])).toBeNull();
  expect(turnOntoPlate(plank, [{ x: 50, y: 0, reachMm: 40 }], [100, 100])).toBeNull();
});
