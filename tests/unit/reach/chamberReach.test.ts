import { describe, expect, test } from 'vitest';
import { cellLookup } from '../../../src/core/chambers/cellLookup.ts';
import { blockChamber } from '../../../src/core/drainage/blockChamber.ts';
import type { ChamberMouth } from '../../../src/core/drainage/chamberMouth.ts';
import { hardToCure, hardToRinse } from '../../../src/core/kit/rules/reach.ts';
import type { ChamberReach } from '../../../src/core/reach/chamberReach.ts';
import { joinReaches } from '../../../src/core/reach/joinReaches.ts';
import { measureMouthReach } from '../../../src/core/reach/measureMouthReach.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { ball, block, cellsOf, type Depth, together } from '../drainage/cellsOf.ts';
import { contextOf } from '../kit/contextOf.ts';
import { soundFacts } from '../kit/soundFacts.ts';

const limits = { lamp: 5, lampReach: 120, rinseWay: 3, rinseReach: 200 };

function reachOf(
  depth: Depth,
  min: Vec3,
  max: Vec3,
  mouths: readonly ChamberMouth[],
  change = {},
): ChamberReach {
  const cells = cellsOf([depth], min, max, 0.5);
  const blocks = blockChamber(cells, 0, 6);
  const lookup = cellLookup(cells);
  const reaches = mouths.map((mouth) => ({
    radius: mouth.radius,
    reach: measureMouthReach(cells, lookup, blocks, mouth, { ...limits, ...change }),
  }));
  return joinReaches(blocks, reaches)!;
}
const mouth = (outer: Vec3, axis: Vec3, radius: number, wall = 1.5): ChamberMouth => ({
  id: 'vents/0',
  outer,
  inner: outer.map((c, n) => c + wall * axis[n]!) as unknown as Vec3,
  axis,
  radius,
});

describe('a straight tube of 100 mm, 8 mm wide, open at its lower end', () => {
  const tube = block([-4, -4, 0], [4, 4, 100]);
  const box = [
    [-6, -6, -2],
    [6, 6, 102],
  ] as const;
  const below = mouth([0, 0, -1.5], [0, 0, 1], 3);

  test('is seen and rinsed to its end, and the way there is as long as it', () => {
    const reach = reachOf(tube, ...box, [below]);
    expect(reach.smallestOpeningMm).toBe(6);
    expect(reach.farthestMm).toBeGreaterThan(94);
    expect(reach.farthestMm).toBeLessThan(106);
    expect(reach.farthestAt[2]).toBeGreaterThan(95);
    expect([reach.unlitMm3, reach.unrinsedMm3]).toEqual([0, 0]);
    expect([reach.unlitAt, reach.unrinsedAt]).toEqual([null, null]);
  });

  test('a lamp that reaches 60 mm leaves two fifths of it in the dark, a rinse of 70 mm a fifth', () => {
    const reach = reachOf(tube, ...box, [below], { lampReach: 60, rinseReach: 70 });
    expect(reach.unlitMm3 / 6400).toBeCloseTo(0.4, 1);
    // Counted from within two widths of the mouth, and two widths on: 70 + 6 + 6 mm.
    expect(reach.unrinsedMm3 / 6400).toBeCloseTo(0.18, 1);
    expect(reach.unlitAt![2]).toBeGreaterThan(60);
  });

  test('an opening narrower than a rinse needs rinses nothing; a second one at the far end does', () => {
    const narrow = mouth([0, 0, -1.5], [0, 0, 1], 1);
    expect(reachOf(tube, ...box, [narrow]).unrinsedMm3 / 6400).toBeCloseTo(1, 2);
    const both = reachOf(tube, ...box, [narrow, mouth([0, 0, 101.5], [0, 0, -1], 2)]);
    expect(both.unrinsedMm3).toBe(0);
    expect(both.smallestOpeningMm).toBe(2);
    expect(both.farthestMm).toBeLessThan(56);
  });
});

test('a U-bend hides its far leg, by sight but not by way', () => {
  const bend = together(
    block([0, 0, 0], [8, 8, 60]),
    block([0, 0, 52], [40, 8, 60]),
    block([32, 0, 0], [40, 8, 60]),
  );
  const reach = reachOf(bend, [-2, -2, -2], [42, 10, 62], [mouth([4, 4, -1.5], [0, 0, 1], 3)]);
  // The far leg under the bend: 8 × 8 × 52, and what the corner hides of the bend itself.
  expect(reach.unlitMm3).toBeGreaterThan(8 * 8 * 52);
  expect(reach.unlitMm3).toBeLessThan(8 * 8 * 52 + 8 * 8 * 40);
  expect(reach.unlitAt![0]).toBeGreaterThan(20);
  expect(reach.unrinsedMm3).toBe(0);
  // Up one leg, across and down the other: about 56 + 32 + 56, cut short at the corners.
  expect(reach.farthestMm).toBeGreaterThan(115);
  expect(reach.farthestMm).toBeLessThan(150);
});

test('two balls joined by a neck too narrow for a rinse: the far one is not rinsed, and seen through the neck only', () => {
  const pair = together(ball([0, 0, 0], 15), block([10, -1, -1], [40, 1, 1]), ball([50, 0, 0], 15));
  const reach = reachOf(pair, [-17, -17, -17], [67, 17, 17], [mouth([-16.5, 0, 0], [1, 0, 0], 4)]);
  const far = (4 / 3) * Math.PI * 15 ** 3;
  expect(reach.unrinsedMm3 / far).toBeGreaterThan(0.97);
  expect(reach.unrinsedMm3 / far).toBeLessThan(1.06);
  expect(reach.unrinsedAt![0]).toBeCloseTo(50, -1);
  expect(reach.unlitMm3 / far).toBeGreaterThan(0.7);
});

test('through an opening narrower than the lamp light falls in by a cone', () => {
  const room = block([-20, -20, 0], [20, 20, 40]);
  const slim = reachOf(room, [-22, -22, -2], [22, 22, 42], [mouth([0, 0, -2], [0, 0, 1], 2, 2)]);
  // From the middle of the mouth a bore as long as its radius lets out 45°: all but the cone of 40 mm height
  // cut to the room's sides is dark: under z the square of side 40 outside a circle of radius z + 2.
  const lit = integrate(0, 40, (z) => squareWithin(z + 2, 20));
  expect(slim.unlitMm3).toBeGreaterThan(0.9 * (64_000 - lit));
  expect(slim.unlitMm3).toBeLessThan(1.1 * (64_000 - lit));
  expect(reachOf(room, [-22, -22, -2], [22, 22, 42], [mouth([0, 0, -2], [0, 0, 1], 3, 2)]).unlitMm3).toBe(0);
});

/** Area of a disc within a square of half side s about the same middle. */
function squareWithin(radius: number, s: number): number {
  if (radius <= s) return Math.PI * radius ** 2;
  if (radius >= s * Math.SQRT2) return 4 * s * s;
  const angle = Math.acos(s / radius);
  return Math.PI * radius ** 2 - 4 * (radius ** 2 * angle - s * Math.sqrt(radius ** 2 - s ** 2));
}

function integrate(from: number, to: number, of: (z: number) => number): number {
  let sum = 0;
  for (let n = 0; n < 400; n++) sum += of(from + ((n + 0.5) * (to - from)) / 400);
  return (sum * (to - from)) / 400;
}

test('findings, by what lies beyond reach', () => {
  const reach = {
    smallestOpeningMm: 4,
    farthestMm: 90,
    farthestAt: [0, 0, 0],
    unlitAt: [1, 2, 3],
    unrinsedAt: null,
  };
  const context = (unlit: number, unrinsed: number) =>
    contextOf({
      reach: [{ ...reach, unlitMm3: 1000 * unlit, unrinsedMm3: 1000 * unrinsed } as unknown as ChamberReach],
    });
  const ml = soundFacts().hollow.chambers[0]!.volumeMm3 / 1000;
  expect(hardToCure(context(0.15 * ml, 0))).toEqual([]);
  expect(hardToRinse(context(0, 3))).toEqual([]);
  const [dark] = hardToCure(context(0.16 * ml, 0));
  expect(dark!.measured).toBeCloseTo(16, 9);
  expect([dark!.limit, dark!.at]).toEqual([15, [1, 2, 3]]);
  expect(dark!.message).toContain('goes through none narrower');
  const [wet] = hardToRinse(context(0, 3.2));
  expect([wet!.measured, wet!.limit, wet!.at]).toEqual([3.2, 3, undefined]);
  expect(hardToCure(contextOf({ reach: [null] }))).toEqual([]);
});
