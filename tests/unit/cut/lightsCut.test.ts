import { describe, expect, it } from 'vitest';
import { cutPlane, heightsOver } from '../../../src/core/cut/cutPlane.ts';
import { lightsByHalf } from '../../../src/core/cut/lightsByHalf.ts';
import { lightsCut, tubesToCut } from '../../../src/core/cut/lightsCut.ts';
import { placeKeys } from '../../../src/core/cut/placeKeys.ts';
import { planeSection } from '../../../src/core/cut/planeSection.ts';
import { principalAxes } from '../../../src/core/cut/principalAxes.ts';
import { type SplitPlane, searchSplits } from '../../../src/core/cut/searchSplits.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { LightBore } from '../../../src/core/lights/light.ts';
import { buildSurfaceIndex } from '../../../src/core/openings/surfaceIndex.ts';
import { segmentsApart } from '../../../src/core/segmentsApart.ts';
import { norm, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { box, transformed } from '../../shapes.ts';
import { cutOf } from './halved.ts';

const light = (path: readonly Vec3[], radiusMm = 2): LightBore => ({
  name: 'wire',
  path,
  radiusMm,
  liningMm: 1.2,
});

/** A straight light through a point of the plane x = 0, so many degrees off it. */
const leaning = (degrees: number, y = 0, reach = 60): LightBore => {
  const [across, along] = [Math.sin((degrees * Math.PI) / 180), Math.cos((degrees * Math.PI) / 180)];
  return light([
    [-reach * across, y, -reach * along],
    [reach * across, y, reach * along],
  ]);
};

describe('a plane and a light', () => {
  const block = box([80, 40, 60]);
  const plane = cutPlane([0, 0, 0], [1, 0, 0]);
  const heights = heightsOver(plane, block.positions);
  const met = (of: LightBore, height = 0, factor = 1) =>
    lightsCut(
      tubesToCut([of], factor),
      plane,
      height,
      planeSection(block, plane, heights, height, factor),
      factor,
    );
  it.each([0, 5, 20, 45, 90])('that leans %s° off it meets it at that angle, at any factor', (degrees) => {
    for (const factor of [1, 3])
      expect(met(leaning(degrees), 0, factor)).toEqual([
        { name: 'wire', angleDeg: expect.closeTo(degrees, 5) },
      ]);
  });
  it('that runs beside it is cut as long as its tube reaches the plane, and only in the part', () => {
    expect(met(leaning(0), 1.9)).toHaveLength(1);
    expect(met(leaning(0), 2.1)).toEqual([]);
    expect(met(leaning(90, 25))).toEqual([]);
  });
});

describe('searching a cut for a part with a light', () => {
  const bar = box([300, 40, 30]);
  const best = (lights: readonly LightBore[]): SplitPlane =>
    searchSplits(
      {
        mesh: bar,
        axes: principalAxes(bar),
        factor: 1,
        turn: [0, 0, 0],
        room: [188, 116, 200],
        show: null,
        plugMm: 8,
        tubes: tubesToCut(lights, 1),
      },
      uninterrupted,
    ).best[0]!;
  it('goes beside a light that lies in the best plane', () => {
    expect(Math.abs(best([]).at[0])).toBeLessThan(6);
    const beside = best([
      light(
        [
          [0, -40, 0],
          [0, 40, 0],
        ],
        6,
      ),
    ]);
    expect(beside.lights).toEqual([]);
    expect(Math.abs(beside.at[0])).toBeGreaterThanOrEqual(6);
    expect(beside.fits).toBe(true);
  });
  it('stays where it crosses one square on', () => {
    const along = light([
      [-200, 0, 0],
      [200, 0, 0],
    ]);
    expect(best([along])).toMatchObject({
      at: best([]).at,
      lights: [{ name: 'wire', angleDeg: expect.closeTo(90, 5) }],
    });
  });
});

describe('keys and a light', () => {
  const block = box([80, 40, 60]);
  const keyAt = (lights: readonly LightBore[], factor = 1): Vec3 => {
    const cut = cutOf({ keys: { count: 1 }, lights });
    const subject = {
      mesh: block,
      surface: buildSurfaceIndex(block),
      plane: cutPlane(cut.at, cut.toward),
      factor,
    };
    return placeKeys(subject, cut, uninterrupted).keys[0]!.at;
  };
  /** From the axis of the key's socket, 8.15 mm deep, to a straight light; mm. */
  const apart = (at: Vec3, { path: [from, to] }: LightBore, factor = 1): number => {
    const mm = (point: Vec3): Vec3 => [factor * point[0], factor * point[1], factor * point[2]];
    const foot = mm(at);
    const { onFirst, onSecond } = segmentsApart(foot, [foot[0], foot[1], foot[2] + 8.15], mm(from!), mm(to!));
    return norm(subtract(onFirst, onSecond));
  };
  it.each<[string, LightBore, number]>([
    [
      'through the middle of the seam',
      light([
        [0, 0, -40],
        [0, 0, 40],
      ]),
      1,
    ],
    [
      'over the seam, where only the socket would meet it',
      light([
        [0, -30, 9],
        [0, 30, 9],
      ]),
      1,
    ],
    [
      'at another factor',
      light([
        [0, 0, -40],
        [0, 0, 40],
      ]),
      2,
    ],
  ])('a key keeps off one %s', (_, of, factor) => {
    const free = keyAt([], factor);
    expect(apart(free, of, factor)).toBeLessThan(3);
    // Half of 6 mm, the clearance of 0.15, the wall of 1.5, and the tube's own 2.
    expect(apart(keyAt([of], factor), of, factor)).toBeGreaterThanOrEqual(3 + 0.15 + 1.5 + 2 - 1e-6);
  });
});

describe('the halves that a light runs in', () => {
  const block = transformed(box([80, 40, 60]), { shift: [0, 0, 0] });
  const halves = (path: readonly Vec3[]) =>
    lightsByHalf([light(path)], buildSurfaceIndex(block), cutPlane([0, 0, 0], [1, 0, 0]))[0]!.halves;
  it.each<[string, readonly Vec3[], readonly string[]]>([
    [
      'both',
      [
        [-50, 0, 0],
        [50, 0, 0],
      ],
      ['back', 'front'],
    ],
    [
      'the front one, though it goes on over the other outside',
      [
        [10, 0, 0],
        [10, 0, 35],
        [-50, 0, 40],
      ],
      ['front'],
    ],
    [
      'the back one',
      [
        [-50, 3, 0],
        [-5, 3, 0],
      ],
      ['back'],
    ],
  ])('%s', (_, path, expected) => {
    expect(halves(path)).toEqual(expected);
  });
});
