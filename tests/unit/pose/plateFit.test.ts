import { describe, expect, test } from 'vitest';
import { footprintHull } from '../../../src/core/pose/footprintHull.ts';
import { plateFit } from '../../../src/core/pose/plateFit.ts';
import { random } from '../../shapes.ts';

const room = [192, 120, 200] as const;

/** Corners of a block round the origin. */
const block = (x: number, y: number, z: number): Float64Array =>
  Float64Array.from(
    [0, 1, 2, 3, 4, 5, 6, 7].flatMap((n) => [
      (n & 1 ? x : -x) / 2,
      (n & 2 ? y : -y) / 2,
      (n & 4 ? z : -z) / 2,
    ]),
  );

describe('plateFit', () => {
  test('what fits as it stands is not turned, and may grow as far as its shortest axis', () => {
    const fit = plateFit(block(96, 100, 50), room);
    expect(fit).toMatchObject({ turnZ: 0, fits: true, short: 1, sizeMm: [96, 100, 50] });
    expect(fit.growth).toBeCloseTo(1.2, 9);
  });

  test('a quarter turn comes before any other', () => {
    expect(plateFit(block(100, 180, 50), room)).toMatchObject({
      turnZ: 90,
      fits: true,
      sizeMm: [180, 100, 50],
    });
  });

  test('a bar longer than the plate lies across it: the first whole degree at which both axes suffice', () => {
    const { turnZ, fits, sizeMm } = plateFit(block(210, 10, 5), room);
    const width = (t: number): number =>
      210 * Math.cos((t * Math.PI) / 180) + 10 * Math.sin((t * Math.PI) / 180);
    expect(fits).toBe(true);
    expect(width(turnZ)).toBeLessThanOrEqual(192);
    expect(width(turnZ - 1)).toBeGreaterThan(192);
    expect(sizeMm[0]).toBeCloseTo(width(turnZ), 9);
  });

  test('what fits nowhere says which axis is short and by how much', () => {
    const tall = plateFit(block(50, 50, 250), room);
    expect(tall).toMatchObject({ fits: false, short: 2 });
    expect(tall.growth).toBeCloseTo(0.8, 9);
    const long = plateFit(block(400, 10, 5), room);
    const growths = Array.from({ length: 91 }, (_, t) => {
      const [cos, sin] = [Math.cos((t * Math.PI) / 180), Math.sin((t * Math.PI) / 180)];
      return Math.min(192 / (400 * cos + 10 * sin), 120 / (400 * sin + 10 * cos));
    });
    expect(long.fits).toBe(false);
    expect(long.growth).toBeCloseTo(Math.max(...growths), 9);
  });

  test('just the size of the room fits', () => {
    expect(plateFit(block(192, 120, 200), room).fits).toBe(true);
    expect(plateFit(block(192.01, 120, 200), room).fits).toBe(false);
  });
});

describe('plateFit with feet', () => {
  const held = (x: number, y: number) => ({ points: Float64Array.of(x, y, 0), reachMm: 8 });

  test('a foot near one side counts on both, since the part stands in the middle', () => {
    const { heldMm, fits } = plateFit(block(100, 60, 10), room, 0, held(48, 0));
    expect(heldMm).toEqual([112, 60]);
    expect(fits).toBe(true);
    expect(plateFit(block(100, 60, 10), room, 0, held(20, -10)).heldMm).toEqual([100, 60]);
  });

  test('turns are sought with it, and growth leaves the feet as wide as they are', () => {
    // Bare it fits as it is, with feet a quarter turned.
    const across = { points: Float64Array.of(0, 58, 0), reachMm: 8 };
    expect(plateFit(block(100, 118, 50), room, null, across)).toMatchObject({ fits: true, turnZ: 90 });
    const fit = plateFit(block(100, 60, 10), room, 0, held(50, 0));
    // 192 less two feet is 176 for the 100 mm between them; y has 120 for 60.
    expect(fit.growth).toBeCloseTo(1.76, 9);
    expect(fit.short).toBe(0);
  });

  test('feet wider than the plate fit nowhere', () => {
    const wide = { points: Float64Array.of(0, 0, 0, 1, 0, 0), reachMm: 70 };
    expect(plateFit(block(20, 20, 10), room, null, wide)).toMatchObject({ fits: false, fitsBare: true });
  });
});

test('the hull of many points, sifted, has the width of all of them in every direction', () => {
  const next = random(7);
  const points = Float64Array.from({ length: 30_000 }, () => next() ** 3 * 100);
  const hull = footprintHull(points);
  expect(hull.length).toBeLessThan(200);
  for (let degrees = 0; degrees < 360; degrees += 7) {
    const [x, y] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
    let most = -Infinity;
    for (let at = 0; at < points.length; at += 3)
      most = Math.max(most, x * points[at]! + y * points[at + 1]!);
    expect(Math.max(...hull.map((corner) => x * corner[0] + y * corner[1]))).toBeCloseTo(most, 9);
  }
});
