import { describe, expect, it } from 'vitest';
import { partRules } from '../../../src/core/kit/rules/measuredRules.ts';
import { lightCurve } from '../../../src/core/lights/lightCurve.ts';
import type { LightFacts } from '../../../src/core/lights/lightPasses.ts';
import { tubesNear } from '../../../src/core/lights/tubesNear.ts';
import { norm, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { contextOf } from '../kit/contextOf.ts';

/** A tube that lies in the part all along, or where told. */
function tube(path: readonly Vec3[], radiusMm: number, more: Partial<LightFacts> = {}): LightFacts {
  const { points, lengthMm } = lightCurve(path, radiusMm)!;
  const passes = [{ fromMm: 0, toMm: lengthMm, enters: path[0]!, leaves: path.at(-1)! }];
  return {
    name: 'wire',
    radiusMm,
    liningMm: 1.2,
    points,
    passes,
    thinnest: null,
    leastLiningMm: null,
    ...more,
  };
}

/** A half circle in the plane y = `y`. */
const arch = (radius: number, y: number): Vec3[] =>
  Array.from({ length: 37 }, (_, n) => {
    const angle = (n * Math.PI) / 36;
    return [radius * Math.cos(angle), y, radius * Math.sin(angle)];
  });

const along: Vec3[] = [
  [-20, 0, 0],
  [20, 0, 0],
];

describe('two tubes', () => {
  it('side by side have what their radii leave of the distance between their middle lines', () => {
    const beside = tube(
      [
        [-20, 3, 4],
        [20, 3, 4],
      ],
      1.5,
    );
    const [near, ...more] = tubesNear(tube(along, 2), beside, 2);
    expect(near!.betweenMm).toBeCloseTo(5 - 3.5, 9);
    expect(more).toEqual([]);
    expect(tubesNear(tube(along, 2), beside, 1.5)).toEqual([]);
  });

  it('that cross at a right angle are nearest at the crossing, whichever is asked first', () => {
    const across = tube(
      [
        [7, -30, 3],
        [7, 30, 3],
      ],
      2,
    );
    const own = tube(along, 2);
    const [near] = tubesNear(own, across, 1.2);
    expect(near!.betweenMm).toBeCloseTo(-1, 9);
    expect(near!.alongMm).toBeCloseTo(27, 9);
    expect(norm(subtract(near!.at, [7, 0, 0]))).toBeLessThan(1e-9);
    const [back] = tubesNear(across, own, 1.2);
    expect(back!.betweenMm).toBeCloseTo(-1, 9);
    expect(back!.alongMm).toBeCloseTo(30, 9);
  });

  it('on arcs about one middle have the difference of their radii, and the distance of their planes', () => {
    const [inner, outer] = [tube(arch(20, 0), 1), tube(arch(23, 4), 1)];
    const [near] = tubesNear(inner, outer, 4);
    // 3 and 4 mm apart across: 5 less both radii; the chains stay within 0.02 mm of the arcs.
    expect(Math.abs(near!.betweenMm - 3)).toBeLessThan(0.03);
    expect(tubesNear(inner, outer, 2.9)).toEqual([]);
  });

  it('that come near twice are told twice', () => {
    const flat = tube(
      [
        [-40, 0, 8],
        [40, 0, 8],
      ],
      1,
    );
    const places = tubesNear(tube(arch(20, 0), 1), flat, 1).map(({ at }) => at);
    expect(places).toHaveLength(2);
    // The circle x² + z² = 20² at z = 8.
    for (const [x] of places) expect(Math.abs(Math.abs(x) - Math.sqrt(336))).toBeLessThan(1);
  });

  it('count only inside the part', () => {
    const half = { passes: [{ fromMm: 0, toMm: 10, enters: along[0]!, leaves: along[1]! }] };
    const across = tube(
      [
        [7, -30, 0],
        [7, 30, 0],
      ],
      2,
    );
    expect(tubesNear(tube(along, 2, half), across, 1.2)).toEqual([]);
    expect(tubesNear(across, tube(along, 2, half), 1.2)).toEqual([]);
  });

  it('of which one ends in the other branch, and are told where they meet again', () => {
    const branch = tube(
      [
        [5, 0, 0.5],
        [5, 0, 30],
      ],
      1,
    );
    expect(tubesNear(tube(along, 2), branch, 1.2)).toEqual([]);
    expect(tubesNear(branch, tube(along, 2), 1.2)).toEqual([]);
    const through = tube(
      [
        [5, 0, -3],
        [5, 0, 30],
      ],
      1,
    );
    expect(tubesNear(tube(along, 2), through, 1.2)).toHaveLength(1);
    const again = tube(arch(20, 0).concat([[-20, 0, -20]]), 1);
    const places = tubesNear(
      tube(
        [
          [20, 0, 0],
          [-40, 0, 0],
        ],
        1,
      ),
      again,
      1.2,
    );
    expect(places).toHaveLength(1);
    expect(places[0]!.at[0]).toBeLessThan(-15);
  });

  it('are found in paths of thousands of pieces as by every pair', () => {
    const wave = (shift: number): Vec3[] =>
      Array.from({ length: 50 }, (_, n) => [2 * n, 6 * Math.sin(n), shift + 6 * Math.cos(1.3 * n)]);
    const [a, b] = [tube(wave(0), 0.5), tube(wave(14.5), 0.5)];
    expect(a.points.length).toBeGreaterThan(300);
    const told = tubesNear(a, b, 6);
    let least = Number.POSITIVE_INFINITY;
    for (const p of a.points) for (const q of b.points) least = Math.min(least, norm(subtract(p, q)));
    expect(Math.min(...told.map(({ betweenMm }) => betweenMm))).toBeLessThanOrEqual(least - 1 + 1e-9);
    expect(Math.min(...told.map(({ betweenMm }) => betweenMm))).toBeGreaterThan(least - 1 - 0.2);
  });
});

describe('lights-cross', () => {
  const other = (z: number) =>
    tube(
      [
        [7, -30, z],
        [7, 30, z],
      ],
      2,
      { name: 'fibre', liningMm: 2 },
    );
  it.each<[string, number, readonly [number, number] | null]>([
    ['run into each other', 3, [0, 2]],
    ['leave less than the wider lining', 5.5, [1.5, 2]],
    ['leave more', 6.1, null],
  ])('%s', (_, z, told) => {
    const drafts = partRules(contextOf({ lights: [tube(along, 2), other(z)] })).filter(
      ({ code }) => code === 'lights-cross',
    );
    expect(drafts.map(({ measured, limit }) => [measured, limit])).toEqual(
      told === null ? [] : [[expect.closeTo(told[0], 6), told[1]]],
    );
    if (told !== null) expect(drafts[0]!.message).toMatch(/wire and fibre .*27 mm along wire/);
  });
});
