import { describe, expect, it } from 'vitest';
import type { ChamberCells } from '../../../src/core/chambers/chamberCells.ts';
import { airWay, heldHead } from '../../../src/core/drainage/airWay.ts';
import { blockChamber } from '../../../src/core/drainage/blockChamber.ts';
import type { ChamberMouth } from '../../../src/core/drainage/chamberMouth.ts';
import { type DrainingChamber, drainAttitude } from '../../../src/core/drainage/drainAttitude.ts';
import type { DrainPool } from '../../../src/core/drainage/drainPools.ts';
import { drainTimes } from '../../../src/core/drainage/drainTimes.ts';
import { mouthNodes } from '../../../src/core/drainage/mouthNodes.ts';
import { searchAttitude } from '../../../src/core/drainage/searchAttitude.ts';
import { roundSection } from '../../../src/core/physics/circularSegment.ts';
import { torricelliTime } from '../../../src/core/physics/torricelliTime.ts';
import { ventFlow, ventResistance } from '../../../src/core/physics/ventResistance.ts';
import { sphereDirections } from '../../../src/core/sphereDirections.ts';
import { dot, normalized, scale, type Vec3 } from '../../../src/core/vector.ts';
import { ball, block, cellsOf, ring, together } from './cellsOf.ts';

const wall = 1.5;
const resin = { viscosity: 0.3, density: 1100, surfaceTension: 0.035 };
const within = (value: number, expected: number, share: number): void =>
  expect(Math.abs(value / expected - 1), `${value} for ${expected}`).toBeLessThan(share);

function mouth(id: string, inner: Vec3, axis: Vec3, diameter: number, bore = wall): ChamberMouth {
  return { id, inner, outer: inner.map((c, i) => c - bore * axis[i]!) as never, axis, radius: diameter / 2 };
}

function chamberOf(cells: ChamberCells, edge: number, mouths: readonly ChamberMouth[]): DrainingChamber {
  const blocks = blockChamber(cells, 0, edge);
  return { blocks, mouths, nodes: mouths.map((one) => mouthNodes(blocks, one)) };
}

describe('time to drain', () => {
  // physics.md 2.4: a section of 100 cm², from 100 to 5 mm over a hole of 5 mm, 2 mm long.
  const hole = [
    mouth('drains/0', [0, 0, 0], [0, 0, 1], 5, 2),
    mouth('vents/0', [0, 0, 200], [0, 0, -1], 5, 2),
  ];
  const pool = (from: number, to: number): DrainPool => ({
    mouths: [0, 1],
    slices: Array.from({ length: 50 }, (_, n) => ({
      top: from - (n * (from - to)) / 50,
      bottom: from - ((n + 1) * (from - to)) / 50,
      volumeMm3: (10_000 * (from - to)) / 50,
    })),
    parts: [],
  });
  /** Whole, where `drainTimes` waits for 99 %: the last hundredth is cut off by hand. */
  const seconds = (viscosity: number, from: number, to: number): number => {
    const all = pool(from, from - (from - to) / 0.99);
    return drainTimes(all, hole, [0, 0, 1], { viscosity, density: 1100, surfaceTension: 0 }).seconds!;
  };

  it.each([
    [0.001, 87.84],
    [0.05, 110.05],
    [0.2, 200.69],
    [0.5, 420.66],
    [1.0, 811.36],
  ])(
    'is that of friction and inertia together at %f Pa·s (physics.md 2.4, case 15)',
    (viscosity, expected) => {
      within(seconds(viscosity, 100, 5), expected, 0.005);
    },
  );

  it.each([
    [90, 85],
    [60, 90 - 5 * Math.sin(Math.PI / 3)],
  ])('counts the head to the middle of a hole that faces %i° from down', (degrees, expected) => {
    const turn = (degrees * Math.PI) / 180;
    const axis: Vec3 = [-Math.sin(turn), 0, Math.cos(turn)];
    const across = 5 * Math.sin(turn);
    // Its lower edge at 0: 90 mm of liquid stand over that, and its middle is `across` higher.
    const place: Vec3 = [0, 0, across];
    const side: ChamberMouth = { ...mouth('drains/0', place, axis, 10, 0), outer: place };
    const slices = [{ top: 90.001, bottom: 89.999, volumeMm3: 1000 }];
    const still = { viscosity: 0.3, density: 1100, surfaceTension: 0 };
    const all = { mouths: [0, 1], slices, parts: [] };
    const { seconds } = drainTimes(all, [side, hole[1]!], [0, 0, 1], still);
    expect(90 - across).toBeCloseTo(expected, 9);
    const drop = 1100 * 9.80665 * expected * 1e-3;
    const flow = ventFlow(ventResistance(roundSection(0.01), 0, still), drop);
    within(seconds!, (0.99 * 1e-6) / flow, 1e-4);
  });

  it('comes to Torricelli without friction (case 13)', () => {
    const free = { viscosity: 1e-9, density: 1100, surfaceTension: 0 };
    const short = [mouth('drains/0', [0, 0, 0], [0, 0, 1], 5, 1e-6), hole[1]!];
    // 99 % of the way down the time is 1 − √0.01 of the whole.
    const time = drainTimes(pool(100, 0), short, [0, 0, 1], free).seconds!;
    within(time, 0.9 * torricelliTime(0.01, 0.1, (Math.PI / 4) * 0.005 ** 2), 0.003);
  });
});

describe('a full chamber', () => {
  // 40 × 30 × 60 mm, a drain of 5 mm in the floor, a vent of 5 mm in the lid.
  const cells = cellsOf([block([0, 0, 0], [40, 30, 60])], [0, 0, 0], [40, 30, 60], 1);
  const drain = mouth('drains/0', [20, 15, 0], [0, 0, 1], 5);
  const vent = mouth('vents/0', [20, 15, 60], [0, 0, -1], 5);
  const down: Vec3 = [0, 0, -1];

  it.each([1, 2, 6])('keeps what surface tension holds over its drain, blocks of %i cells', (edge) => {
    const chamber = chamberOf(cells, edge, [vent, drain]);
    const told = drainAttitude(chamber, down, resin);
    // 4·γ/(ρ·g·d) from the outer end of the bore: 2.596 mm, of which the wall takes 1.5 (physics.md 2.5).
    const head = (1000 * 4 * 0.035) / (1100 * 9.80665 * 0.005);
    expect(heldHead(2.5, resin)).toBeCloseTo(head, 6);
    within(told.leftMm3, 40 * 30 * (head - wall), 0.02);
    expect(told.retainedMm3).toBe(told.leftMm3);
    expect(told.air).toBe('other');
    expect(told.pond).toMatchObject({ holds: 'drains/0' });
    within(told.pond!.lastTenthMm, (head - wall) / 10, 0.05);
  });

  it('empties in the time that the closed form of a constant section gives', () => {
    const still = { ...resin, surfaceTension: 1e-9 };
    const { seconds, byOpening, leftMm3 } = drainAttitude(chamberOf(cells, 1, [vent, drain]), down, still);
    expect(leftMm3).toBeLessThan(1);
    const hole = [drain, mouth('vents/0', [0, 0, 999], [0, 0, -1], 5)];
    const slices = Array.from({ length: 600 }, (_, n) => ({
      top: 60 - n / 10,
      bottom: 60 - (n + 1) / 10,
      volumeMm3: 120,
    }));
    const closed = drainTimes({ mouths: [0, 1], slices, parts: [] }, hole, [0, 0, 1], still).seconds!;
    within(seconds!, closed, 0.002);
    within(byOpening[1]!.drainedMm3, 0.99 * 40 * 30 * 60, 1e-4);
    expect(byOpening[1]!.seconds).toBe(seconds);
    expect(byOpening[0]).toMatchObject({ drainedMm3: 0, seconds: 0 });
  });

  it('takes half the time through two such drains', () => {
    const other = mouth('drains/1', [10, 15, 0], [0, 0, 1], 5);
    const one = drainAttitude(chamberOf(cells, 1, [vent, drain]), down, resin);
    const two = drainAttitude(chamberOf(cells, 1, [vent, drain, other]), down, resin);
    within(two.seconds!, one.seconds! / 2, 0.001);
    within(two.byOpening[2]!.drainedMm3, one.byOpening[1]!.drainedMm3 / 2, 0.001);
  });

  it('falls under a constant head while the air comes in under the liquid (Mariotte)', () => {
    // Thick resin: the flow goes as the head. Down to the vent's upper edge at 30 mm the head stays 30 mm + bore.
    const side = mouth('vents/0', [40, 15, 27.5], [-1, 0, 0], 5);
    const thick = { viscosity: 20, density: 1100, surfaceTension: 1e-9 };
    const high = drainAttitude(chamberOf(cells, 1, [vent, drain]), down, thick).seconds!;
    const low = drainAttitude(chamberOf(cells, 1, [side, drain]), down, thick).seconds!;
    // ∫dz/(z + b) over 60 mm, against 30 mm at a constant 30 + b and ∫ over the rest; b = 1.5, 0.6 mm left.
    const free = Math.log(61.5 / 2.1);
    const mariotte = 30 / 31.5 + Math.log(31.5 / 2.1);
    within(low / high, mariotte / free, 0.005);
  });

  it('says that no air comes in by a single narrow hole that faces down, and that tilting it helps', () => {
    const single = chamberOf(cells, 2, [drain]);
    expect(drainAttitude(single, down, resin)).toMatchObject({ air: 'none', seconds: null });
    const found = searchAttitude(single, [down], resin);
    const told = drainAttitude(single, found, resin);
    expect(told.air).toBe('tilted');
    expect(dot(found, down)).toBeLessThan(0.999);
  });
});

describe('air', () => {
  const up: Vec3 = [0, 0, 1];
  const single = (diameter: number, axis: Vec3) => {
    const one = mouth('drains/0', [0, 0, 0], axis, diameter);
    return airWay(one, [one], up, resin);
  };

  it.each([
    // physics.md 2.6: liquid can hang in a hole of up to 13.80 mm.
    [13.7, 'none'],
    [13.9, 'wide'],
  ])('comes in by a single hole of %f mm facing down: %s', (diameter, way) => {
    expect(single(diameter, up)).toBe(way);
  });

  it.each([
    // Facing sideways: d² ≥ 4·lc², lc = 1.801 mm.
    [3.5, 'none'],
    [3.7, 'tilted'],
  ])('comes in by a single hole of %f mm facing sideways: %s', (diameter, way) => {
    expect(single(diameter, [1, 0, 0])).toBe(way);
  });

  it('comes in by another hole that is higher than both hold back', () => {
    const low = mouth('drains/0', [0, 0, 0], up, 5, 0);
    const held = 2 * heldHead(2.5, resin);
    for (const [height, way] of [
      [held - 0.01, 'none'],
      [held + 0.01, 'other'],
    ] as const) {
      const high = mouth('vents/0', [9, 0, height], [0, 0, -1], 5, 0);
      expect(airWay(low, [high, low], up, resin)).toBe(way);
    }
  });
});

describe('the best attitude', () => {
  it('is the one with the hole lowest, for a sphere, wherever the hole is', () => {
    const cells = cellsOf([ball([0, 0, 0], 20)], [-20, -20, -20], [20, 20, 20], 1);
    for (const way of [
      [1, 2, 3],
      [-2, 0.3, 1],
      [0, 0, -1],
    ] as Vec3[]) {
      const axis = normalized(way);
      const drain = mouth('drains/0', scale(axis, 20), scale(axis, -1), 8);
      const vent = mouth('vents/0', scale(axis, -20), axis, 4);
      const chamber = chamberOf(cells, 3, [drain, vent]);
      const down = searchAttitude(chamber, [], resin);
      expect(dot(down, axis)).toBeGreaterThan(Math.cos((9 * Math.PI) / 180));
      expect(drainAttitude(chamber, down, resin).leftMm3).toBeLessThan(0.002 * (4 / 3) * Math.PI * 20 ** 3);
    }
  });

  it('keeps a plain one that is as good', () => {
    const cells = cellsOf([block([0, 0, 0], [20, 20, 20])], [0, 0, 0], [20, 20, 20], 1);
    const chamber = chamberOf(cells, 2, [
      mouth('vents/0', [10, 10, 20], [0, 0, -1], 8),
      mouth('drains/0', [3, 3, 0], [0, 0, 1], 10),
    ]);
    expect(searchAttitude(chamber, [[0, 0, -1]], resin)).toEqual([0, 0, -1]);
  });

  it('takes the wider of two mouths that leave as little, though the other is the plain way to hold it', () => {
    const cells = cellsOf([ball([0, 0, 0], 20)], [-20, -20, -20], [20, 20, 20], 1);
    const axis: Vec3 = [0.6, 0, 0.8];
    const chamber = chamberOf(cells, 2, [
      mouth('vents/0', [0, 0, -20], [0, 0, 1], 4),
      mouth('drains/0', scale(axis, 20), scale(axis, -1), 8),
    ]);
    const down = searchAttitude(chamber, [[0, 0, -1]], resin);
    expect(dot(down, axis)).toBeCloseTo(1, 9);
    const slow = drainAttitude(chamber, [0, 0, -1], resin);
    expect(drainAttitude(chamber, down, resin).seconds).toBeLessThan(slow.seconds! / 3);
  });

  it('stands a ring up on the hole at its outer side', () => {
    const cells = cellsOf([ring(20, 6)], [-26, -26, -6], [26, 26, 6], 1);
    const chamber = chamberOf(cells, 2, [
      mouth('drains/0', [0, -26, 0], [0, 1, 0], 8),
      mouth('vents/0', [0, 26, 0], [0, -1, 0], 8),
    ]);
    const down = searchAttitude(chamber, [], resin);
    expect(down[1]).toBeLessThan(-0.9);
    expect(drainAttitude(chamber, down, resin).leftMm3).toBeLessThan(0.003 * 2 * Math.PI ** 2 * 20 * 36);
  });

  it('finds none for two legs that drain at one side only, and tells where the rest stays', () => {
    // A yoke with two legs of 30 mm; the hole is in the foot of one. Liquid leaves the other only upside
    // down, and then the yoke holds it.
    const cells = cellsOf(
      [
        together(
          block([0, 0, 0], [10, 10, 40]),
          block([30, 0, 0], [40, 10, 40]),
          block([0, 0, 30], [40, 10, 40]),
        ),
      ],
      [0, 0, 0],
      [40, 10, 40],
      1,
    );
    const down: Vec3 = [0, 0, -1];
    const chamber = chamberOf(cells, 1, [
      mouth('drains/0', [5, 5, 0], [0, 0, 1], 8),
      mouth('vents/0', [5, 5, 40], [0, 0, -1], 4),
    ]);
    const { pond, leftMm3 } = drainAttitude(chamber, down, resin);
    within(leftMm3, 10 * 10 * 30, 0.02);
    expect(pond).toMatchObject({ holds: null });
    // Beside it only the 0.12 mm that surface tension keeps over the drain.
    within(pond!.volumeMm3, leftMm3, 0.01);
    expect(Math.round(pond!.at[2])).toBe(0);
    expect(pond!.at[0]).toBeGreaterThan(30);
  });

  it('lets two legs with a drain each empty side by side', () => {
    const cells = cellsOf(
      [
        together(
          block([0, 0, 0], [10, 10, 40]),
          block([30, 0, 0], [40, 10, 40]),
          block([0, 0, 30], [40, 10, 40]),
        ),
      ],
      [0, 0, 0],
      [40, 10, 40],
      1,
    );
    const vent = mouth('vents/0', [20, 5, 40], [0, 0, -1], 4);
    const [left, right] = [5, 35].map((x, n) => mouth(`drains/${n}`, [x, 5, 0], [0, 0, 1], 4));
    const both = drainAttitude(chamberOf(cells, 1, [left!, right!, vent]), [0, 0, -1], resin);
    within(both.byOpening[0]!.drainedMm3, both.byOpening[1]!.drainedMm3, 0.01);
    // As one leg of the same height with half the yoke on it.
    const half = cellsOf(
      [together(block([0, 0, 0], [10, 10, 40]), block([0, 0, 30], [20, 10, 40]))],
      [0, 0, 0],
      [20, 10, 40],
      1,
    );
    const one = drainAttitude(
      chamberOf(half, 1, [left!, mouth('vents/0', [15, 5, 40], [0, 0, -1], 4)]),
      [0, 0, -1],
      resin,
    );
    within(both.seconds!, one.seconds!, 0.01);
  });
});

it('spreads directions evenly', () => {
  const directions = sphereDirections(96);
  for (const axis of [0, 1, 2]) {
    // The mean square of a coordinate over the sphere is a third.
    within(directions.reduce((sum, one) => sum + one[axis]! ** 2, 0) / 96, 1 / 3, 0.01);
  }
  const nearest = directions.map((a) => Math.max(...directions.filter((b) => b !== a).map((b) => dot(a, b))));
  expect(Math.acos(Math.max(...nearest)) * (180 / Math.PI)).toBeGreaterThan(12);
});
