import { describe, expect, it } from 'vitest';
import { type Cylinder, cylindersApart } from '../../../src/core/cylindersApart.ts';
import { boresInTheWay, boresOf } from '../../../src/core/joints/boresInTheWay.ts';
import type { LightFacts } from '../../../src/core/lights/lightPasses.ts';
import type { OpeningFacts } from '../../../src/core/openings/opening.ts';
import {
  add,
  cross,
  norm,
  normalized,
  scale,
  squareTo,
  subtract,
  type Vec3,
} from '../../../src/core/vector.ts';

const along = (from: Vec3, way: Vec3, length: number, radius: number): Cylinder => ({
  from,
  axis: normalized(way),
  length,
  radius,
});
/** A hole 3 mm across, 12 mm deep, from the origin down. */
const hole = along([0, 0, 0], [0, 0, -1], 12, 1.5);

describe('two cylinders', () => {
  it.each<[string, Cylinder, number]>([
    ['side by side', along([5, 0, 0], [0, 0, -1], 8, 2), 1.5],
    ['side by side, one lower', along([5, 0, -30], [0, 0, 1], 20, 2), 1.5],
    ['crossing square', along([-20, 4, -6], [1, 0, 0], 40, 1), 1.5],
    ['crossing at a slant', along([-20, 4, -26], [1, 0, 1], 60, 1), 1.5],
    ['end to side: a flat end counts flat', along([12, 0, -6], [-1, 0, 0], 10, 7), 0.5],
    ['end to end on one line', along([0, 0, -13], [0, 0, -1], 5, 4), 1],
    ['rim to rim', along([4.5 + 1, 0, -12 - 4], [0, 0, -1], 5, 1), Math.hypot(3, 4)],
    ['one in the other', along([0, 0, -3], [0, 0, -1], 2, 0.5), 0],
    ['one through the other', along([-9, 0, -6], [1, 0, 0], 18, 1), 0],
    ['that touch', along([4, 0, 0], [0, 0, -1], 8, 2.5), 0],
  ])('%s', (_, other, apart) => {
    expect(cylindersApart(hole, other)).toBeCloseTo(apart, 3);
    expect(cylindersApart(other, hole)).toBeCloseTo(apart, 3);
  });

  it('are as far apart as the nearest of their points', () => {
    // Skew: points of both surfaces a third of a millimetre apart never come nearer, and come nearly as near.
    const other = along([6, 5, -3], [-0.4, 0.2, -1], 9, 2);
    const told = cylindersApart(hole, other);
    const pointsOf = ({ from, axis, length, radius }: Cylinder): Vec3[] => {
      const side = squareTo(axis);
      const up = cross(axis, side);
      return Array.from({ length: 31 * 60 }, (_, n) => {
        const angle = (2 * Math.PI * (n % 60)) / 60;
        const round = add(scale(side, radius * Math.cos(angle)), scale(up, radius * Math.sin(angle)));
        return add(add(from, scale(axis, (length * Math.floor(n / 60)) / 30)), round);
      });
    };
    let least = Infinity;
    const others = pointsOf(other);
    for (const p of pointsOf(hole)) for (const q of others) least = Math.min(least, norm(subtract(p, q)));
    expect(least).toBeGreaterThanOrEqual(told - 1e-9);
    expect(least - told).toBeLessThan(0.02);
  });
});

describe('what is in a hole’s way', () => {
  const vent = (id: string, mouth: Vec3, axis: Vec3, radius: number, depth: number) =>
    ({ placed: { id, kind: 'vent', mouth, axis, radius, depth, outward: 1 } }) as unknown as OpeningFacts;
  const light = (points: Vec3[], radiusMm: number) =>
    ({ name: 'lantern', points, radiusMm }) as unknown as LightFacts;

  const fault = (
    openings: readonly OpeningFacts[],
    lights: readonly LightFacts[] = [],
    except: readonly string[] = [],
  ) => boresInTheWay('torso', hole, boresOf(openings, lights, except), 0.6);

  it('is nothing as far off as the least wall', () => {
    // 0.7 and 0.6 mm of solid stay.
    expect(fault([vent('vents/0', [12, 0, -6], [-1, 0, 0], 7, 9.8)])).toBeNull();
    expect(fault([vent('vents/0', [12, 0, -6], [-1, 0, 0], 7, 9.9)])).toBeNull();
    expect(fault([{ placed: null } as unknown as OpeningFacts])).toBeNull();
  });

  it('is told by its name, with what would stay', () => {
    expect(fault([vent('vents/1', [12, 0, -6], [-1, 0, 0], 7, 10)])).toBe(
      'its hole in torso would leave 0.5 mm to vent 1, less than 0.6 mm (limits.least-wall); move one of them, or say at where the pin passes.',
    );
    expect(fault([vent('drains/0', [12, 0, -6], [-1, 0, 0], 2, 20)])).toContain('would run into drain 0;');
    expect(
      fault([
        vent('tubes/2', [0, 5, 0], [0, 0, -1], 3.2, 9),
        vent('drains/0', [12, 0, -6], [-1, 0, 0], 2, 20),
      ]),
    ).toContain('would run into drain 0, and tube 2 is too near as well;');
  });

  it('is the tube of a light, along all of its curve', () => {
    // Past the hole at 4 mm from its axis with 2.1 mm: 0.4 mm stay, of 1.9 mm 0.6.
    const path: Vec3[] = [
      [30, 4, 20],
      [10, 4, -6],
      [-10, 4, -6],
    ];
    expect(fault([], [light(path, 2.1)])).toContain('would leave 0.4 mm to the light lantern,');
    expect(fault([], [light(path, 1.9 - 1e-6)])).toBeNull();
  });

  it('is not the hole itself', () => {
    const own = vent('tubes/0', [0, 0, 0], [0, 0, -1], 1.5, 12);
    expect(fault([own])).toContain('would run into tube 0');
    expect(fault([own], [], ['tubes/0'])).toBeNull();
  });
});
