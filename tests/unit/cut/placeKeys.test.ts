import { expect, test } from 'vitest';
import type { CutDecision } from '../../../src/core/cut/cutDecision.ts';
import { cutPlane, heightsOver } from '../../../src/core/cut/cutPlane.ts';
import { insideDistance } from '../../../src/core/cut/insideDistance.ts';
import { chooseKeyPlaces } from '../../../src/core/cut/keyPlaces.ts';
import { placeKeys } from '../../../src/core/cut/placeKeys.ts';
import { isInSection, planeSection } from '../../../src/core/cut/planeSection.ts';
import type { Seam } from '../../../src/core/cut/seam.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { buildSurfaceIndex } from '../../../src/core/openings/surfaceIndex.ts';
import { norm, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { box, cone, join, reversed, sphere, torus, transformed } from '../../shapes.ts';
import { cutOf } from './halved.ts';

function placed(mesh: Mesh, of: Partial<CutDecision>, factor = 1): Seam {
  const cut = cutOf(of);
  const plane = cutPlane(cut.at, cut.toward);
  return placeKeys({ mesh, surface: buildSurfaceIndex(mesh), plane, factor }, cut, uninterrupted);
}

test('distances inside a section are those to the nearest cell outside, counted one by one', () => {
  const ring = transformed(torus(9, 4, 40, 20), { turn: [10, 0, 30] });
  const plane = cutPlane([0, 0, 0.5], [0.1, 0.2, 1]);
  const section = planeSection(ring, plane, heightsOver(plane, ring.positions), 0, 1);
  const grid = { low: [-14, -14], step: 0.7, columns: 41, rows: 40 } as const;
  const found = insideDistance(section, grid);
  const middle = (cell: number): [number, number] => [
    -14 + ((cell % 41) + 0.5) * 0.7,
    -14 + (Math.floor(cell / 41) + 0.5) * 0.7,
  ];
  const cells = Array.from({ length: 41 * 40 }, (_, cell) => cell);
  const outside = cells.filter((cell) => !isInSection(section, ...middle(cell))).map(middle);
  expect(outside.length).toBeGreaterThan(500);
  for (const cell of cells) {
    const [x, y] = middle(cell);
    const nearest = Math.min(...outside.map(([a, b]) => Math.hypot(x - a, y - b)));
    expect(found[cell]).toBeCloseTo(nearest, 4);
  }
});

test('the area of a section, by the closed form, at any factor', () => {
  for (const factor of [1, 3.4]) {
    const block = box([20, 10, 8]);
    const plane = cutPlane([1, 0, 0], [0, 0, 5]);
    const section = planeSection(block, plane, heightsOver(plane, block.positions), 1, factor);
    expect(section.area).toBeCloseTo(200 * factor ** 2, 6);
  }
});

test('one key stands in the middle of a block, two near its ends, four in its corners', () => {
  const block = box([80, 40, 60]);
  const at = (count: number) => placed(block, { keys: { count } }).keys.map((key) => key.at);
  const [middle] = at(1);
  expect(Math.hypot(...middle!)).toBeLessThan(2);
  const [a, b] = at(2) as [Vec3, Vec3];
  // The diagonal of what is left within 7.65 mm of the rim is 69 mm long.
  expect(norm(subtract(a, b))).toBeGreaterThan(64);
  const corners = at(4).map(([x, y]) => `${Math.sign(x)} ${Math.sign(y)}`);
  expect(new Set(corners).size).toBe(4);
  expect(at(4)).toEqual(at(4));
  for (const [x, y, z] of at(4)) {
    expect(z).toBe(0);
    // Some room to spare where it can be had: half a key's width.
    expect(40 - Math.abs(x)).toBeGreaterThan(3.15 + 1.5 + 3 - 1);
    expect(20 - Math.abs(y)).toBeGreaterThan(3.15 + 1.5 + 3 - 1);
  }
});

test('two legs get a key each', () => {
  const leg = box([14, 14, 30]);
  const legs = join(leg, transformed(leg, { shift: [50, 0, 0] }));
  const { keys } = placed(legs, { keys: { count: 2 }, key: { diameter: 5, length: 4, taper: 2, wall: 1.5 } });
  expect(keys.map(({ at: [x] }) => x > 25)).toEqual([false, true]);
});

test('a tip narrows over the seam: the key shortens its reach to where the wall still stands round it', () => {
  // Half-angle 45°: over the seam at z = 0 the radius is 20 − z.
  const tip = transformed(cone(40, 40, 128), { shift: [0, 0, -20] });
  const one = { keys: { count: 1 }, key: { diameter: 6, length: 8, taper: 0, wall: 1.5 }, clearance: 0 };
  expect(placed(tip, one).keys).toHaveLength(1);
  // At the end of its socket the distance from the axis to the cone is (20 − 8)/√2 = 8.49 mm, less the wall: 13.9 mm wide.
  const wide = placed(tip, { ...one, key: { ...one.key, diameter: 15 } });
  expect(wide.keys).toEqual([]);
  expect(wide.refused).toMatchObject([{ count: 1, reason: 'thin', fitsMm: 13.5 }]);
  const fits = placed(tip, { ...one, key: { ...one.key, diameter: 13.5 } });
  expect(fits.keys).toHaveLength(1);
});

test('what has no room is told with the width that has: of those looked for', () => {
  const plate = box([60, 8, 30]);
  const seam = placed(plate, { keys: { count: 2 } });
  expect(seam.keys).toEqual([]);
  // 8 mm less two walls and two clearances.
  expect(seam.refused).toEqual([
    { index: null, count: 2, reason: 'thin', at: null, diameterMm: 6, fitsMm: 4.5 },
  ]);
  const narrow = placed(plate, {
    keys: { count: 2 },
    key: { diameter: 4.5, length: 8, taper: 2, wall: 1.5 },
  });
  expect([narrow.keys.length, narrow.refused]).toEqual([2, []]);
  const shallow = placed(box([60, 40, 17]), { keys: { count: 1 } });
  expect(shallow.refused).toMatchObject([{ count: 1, reason: 'thin', fitsMm: null }]);
});

test('places by hand: square to the plane, and why some are left out', () => {
  const block = transformed(box([80, 40, 30]), { scale: 0.5 });
  const places = [
    { index: 0, at: [10, 0, 3] as Vec3, diameter: 6 },
    { index: 1, at: [11, 1, 0] as Vec3, diameter: 6 },
    { index: 2, at: [0, 30, 0] as Vec3, diameter: 6 },
    { index: 3, at: [-10, 8.5, 0] as Vec3, diameter: 6 },
    { index: 4, at: [-10, 8.5, 0] as Vec3, diameter: 2 },
  ];
  const { keys, refused } = placed(block, { keys: { places } }, 2);
  expect(keys).toEqual([
    { at: [10, 0, 0], diameterMm: 6, lengthMm: 8 },
    { at: [-10, 8.5, 0], diameterMm: 2, lengthMm: 8 },
  ]);
  expect(refused.map(({ index, reason, fitsMm }) => [index, reason, fitsMm])).toEqual([
    [1, 'crowded', null],
    [2, 'outside', null],
    // 3 mm to the side, less wall and clearance, leave a radius of 1.35 mm.
    [3, 'thin', 2.6],
  ]);
});

test('a ball far from its middle, seen in the source at any size, gives keys in the same places of the sculpt', () => {
  const ball = (factor: number) => transformed(sphere(20, 64), { scale: 1 / factor });
  const at = (factor: number) =>
    placed(ball(factor), { at: [0, 0, 5 / factor], keys: { count: 3 } }, factor).keys.map((key) =>
      key.at.map((c) => c * factor),
    );
  const [one, other] = [at(1), at(4)];
  expect(one).toHaveLength(3);
  one.forEach((key, n) => {
    expect(Math.hypot(...key.map((c, axis) => c - other[n]![axis]!))).toBeLessThan(1e-4);
  });
});

test('a bubble beside the middle of a socket is in its way, however far from both ends', () => {
  const bubble = (x: number) => reversed(transformed(sphere(1, 24), { shift: [x, 0, 4] }));
  const given = { keys: { places: [{ index: 0, at: [0, 0, 0] as Vec3, diameter: 6 }] } };
  // The socket takes 3.15 mm and a wall of 1.5 mm, less its taper.
  const near = placed(join(box([40, 40, 40]), bubble(5)), given);
  expect(near.refused).toMatchObject([{ reason: 'thin' }]);
  expect(placed(join(box([40, 40, 40]), bubble(6)), given).keys).toHaveLength(1);
});

test('chosen places keep their distance', () => {
  const places = [0, 1, 2, 10, 11].map((x) => ({ x, y: 0, spare: 1 }));
  expect(chooseKeyPlaces(places, 3, 5, 1).map(({ x }) => x)).toEqual([0, 11]);
  expect(chooseKeyPlaces(places, 2, 12, 1)).toHaveLength(1);
  expect(chooseKeyPlaces([], 2, 1, 1)).toEqual([]);
  expect(chooseKeyPlaces(places, 0, 1, 1)).toEqual([]);
});
