import { describe, expect, it } from 'vitest';
import { partRules } from '../../../src/core/kit/rules/measuredRules.ts';
import { heldInTube } from '../../../src/core/lights/heldInTube.ts';
import type { LightFacts, LightPass } from '../../../src/core/lights/lightPasses.ts';
import { norm, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { contextOf } from '../kit/contextOf.ts';

const lengthOf = (points: readonly Vec3[]): number =>
  points.slice(1).reduce((sum, point, n) => sum + norm(subtract(point, points[n]!)), 0);

function whole(points: readonly Vec3[], open: 'both' | 'first' | 'last' | 'none' = 'both'): LightPass {
  return {
    fromMm: 0,
    toMm: lengthOf(points),
    enters: open === 'both' || open === 'first' ? points[0]! : null,
    leaves: open === 'both' || open === 'last' ? points.at(-1)! : null,
  };
}

/** Millilitres, of a tube of `radiusMm`. */
const held = (points: readonly Vec3[], radiusMm: number, open?: Parameters<typeof whole>[1]): number =>
  (heldInTube({ points, radiusMm }, whole(points, open))?.volumeMm3 ?? 0) / 1000;

/** Two legs of `legs` mm that stand upright, and half a circle between them, on the film's side or the plate's. */
function bow(radius: number, legs: readonly [number, number], toFilm: boolean): Vec3[] {
  const side = toFilm ? 1 : -1;
  const round = Array.from({ length: 181 }, (_, n): Vec3 => {
    const angle = (n * Math.PI) / 180;
    return [-radius * Math.cos(angle), 0, side * radius * Math.sin(angle)];
  });
  return [[-radius, 0, -side * legs[0]], ...round, [radius, 0, -side * legs[1]]];
}

describe('what stays in a tube as the part hangs, the film at greater z', () => {
  it('is all of a U that hangs toward the film: π·r² times two legs and half a torus', () => {
    expect(held(bow(15, [30, 30], true), 2)).toBeCloseTo((Math.PI * 4 * (60 + Math.PI * 15)) / 1000, 4);
  });
  it('is nothing of one that stands the other way', () => {
    expect(held(bow(15, [30, 30], false), 2)).toBeLessThan(1e-6);
  });
  it('stands as high as the shorter leg of one with unequal legs', () => {
    expect(held(bow(15, [30, 12], true), 2)).toBeCloseTo((Math.PI * 4 * (24 + Math.PI * 15)) / 1000, 4);
  });
  it('is nothing of one that is steep or level all the way', () => {
    expect(
      held(
        [
          [0, 0, 0],
          [10, 0, 40],
        ],
        3,
      ),
    ).toBe(0);
    expect(
      held(
        [
          [0, 0, 5],
          [20, 10, 5],
          [60, 0, 5],
        ],
        3,
      ),
    ).toBeCloseTo(0, 9);
  });
  const upright: Vec3[] = [
    [0, 0, 10],
    [0, 0, 50],
  ];
  it.each<[string, 'first' | 'last' | 'none', number]>([
    ['all of one that is closed at the film', 'first', (Math.PI * 4 * 40) / 1000],
    ['nothing of one that is closed at the plate', 'last', 0],
    ['all of one that is closed at both ends', 'none', (Math.PI * 4 * 40) / 1000],
  ])('is %s', (_, open, ml) => {
    expect(held(upright, 2, open)).toBeCloseTo(ml, 9);
  });
  it('of a leaning one with a closed end at the film is cut off level at the lowest point of its mouth', () => {
    // A cylinder cut by a level plane keeps π·r² times its middle line under the plane; the plane meets the line r·(d/h) under the mouth.
    const [across, down] = [30, 40];
    const points: Vec3[] = [
      [0, 0, 0],
      [across, 0, down],
    ];
    const under = 50 - (3 * across) / down;
    expect(held(points, 3, 'first')).toBeCloseTo((Math.PI * 9 * under) / 1000, 9);
  });
  it('of a level trough is the half of its section that lies under the sill', () => {
    // Level at both mouths, 3 mm lower between them: the lowest point of the one is the middle of the other.
    const sunk: Vec3[] = [
      [-50, 0, -3],
      [-30, 0, -3],
      [-29.999, 0, 0],
      [29.999, 0, 0],
      [30, 0, -3],
      [50, 0, -3],
    ];
    expect(Math.abs(held(sunk, 3) - (Math.PI * 9 * 30) / 1000)).toBeLessThan(0.001);
  });
  it('is reckoned for what lies in the part alone', () => {
    const points = bow(15, [30, 30], true);
    const pass = { ...whole(points), fromMm: 10 };
    expect(heldInTube({ points, radiusMm: 2 }, pass)!.volumeMm3).toBeCloseTo(
      Math.PI * 4 * (40 + Math.PI * 15),
      1,
    );
  });
  it('stands deepest where the tube comes nearest to the film', () => {
    const { at, alongMm } = heldInTube(
      { points: bow(15, [30, 30], true), radiusMm: 2 },
      whole(bow(15, [30, 30], true)),
    )!;
    expect(norm(subtract(at, [0, 0, 15]))).toBeLessThan(0.5);
    expect(Math.abs(alongMm - 30 - (Math.PI * 15) / 2)).toBeLessThan(0.5);
  });
});

describe('light-holds-resin', () => {
  const light = (
    points: readonly Vec3[],
    radiusMm: number,
    open?: Parameters<typeof whole>[1],
  ): LightFacts => ({
    name: 'wire',
    radiusMm,
    liningMm: 1.2,
    points,
    passes: [whole(points, open)],
    thinnest: null,
    leastLiningMm: null,
  });
  const leg = (mm: number): Vec3[] => [
    [0, 0, 0],
    [0, 0, mm],
  ];
  const told = (facts: LightFacts) =>
    partRules(contextOf({ lights: [facts] })).filter(({ code }) => code === 'light-holds-resin');
  it.each<[string, LightFacts, string[]]>([
    ['more than a drop: 0.0503 ml', light(leg(16), 1, 'first'), ['Blow it out']],
    ['a drop: 0.0471 ml', light(leg(15), 1, 'first'), []],
    ['a tube that empties', light(leg(60), 3), []],
    ['one without an open end', light(leg(60), 3, 'none'), ['No end of it is open']],
  ])('%s', (_, facts, words) => {
    const drafts = told(facts);
    expect(drafts).toHaveLength(words.length);
    for (const [n, text] of words.entries()) expect(drafts[n]!.message).toContain(text);
  });
});
