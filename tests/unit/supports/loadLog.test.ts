import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { overhangRuns, selfSupportReach } from '../../../src/core/layers/overhangs.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { rowY } from '../../../src/core/rays/lattice.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { box, cone, icosphere, join, transformed, tube } from '../../shapes.ts';
import { solidOf } from '../layers/printing.ts';
import {
  anywhere,
  loadsIn,
  logLoads,
  logOf,
  mergesIn,
  setting,
  solidAt,
  straightDown,
  table,
} from './supported.ts';

const distance = (a: Vec3, b: Vec3): number => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);

/** Every point of overhang by brute force: a sample each half mm of each run. */
function overhangPoints(mesh: Mesh, deg: number): Vec3[] {
  const solid = solidOf(mesh, 0.2, 0.1);
  const { lattice, offsets, ends } = overhangRuns(solid, selfSupportReach(0.1, deg), uninterrupted);
  const points: Vec3[] = [];
  for (let layer = 0; layer < lattice.layers; layer++) {
    for (let row = 0; row < lattice.rows; row++) {
      const at = layer * lattice.rows + row;
      for (let run = offsets[at]!; run < offsets[at + 1]!; run++) {
        for (let x = ends[2 * run]!; x <= ends[2 * run + 1]!; x += 0.5)
          points.push([x, rowY(lattice, row), lattice.z0 + layer * lattice.dz]);
      }
    }
  }
  return points;
}

describe('the load log: how a part grows, and the contacts chosen for it', () => {
  test('a raised table: four starts in the layer of its feet, then the underside of its top', () => {
    const { contacts, growth } = logOf(table);
    const starts = contacts.filter(({ isStart }) => isStart);
    expect(starts.map(({ layer }) => layer)).toEqual([50, 50, 50, 50]);
    for (const { at } of starts) {
      expect([Math.abs(Math.abs(at[0]) - 17) <= 2, Math.abs(Math.abs(at[1]) - 12) <= 2]).toEqual([
        true,
        true,
      ]);
    }
    const under = contacts.filter(({ layer }) => layer === 250);
    expect(under.length).toBeGreaterThan(40);
    expect(contacts.length).toBe(4 + under.length);
    // Four bodies of one foot each become one.
    expect(loadsIn(growth, 100).map(({ areaMm2 }) => Math.round(areaMm2))).toEqual([16, 16, 16, 16]);
    expect(mergesIn(growth, 250)).toEqual([
      [0, 1],
      [0, 2],
      [0, 3],
    ]);
    expect(loadsIn(growth, 250)).toHaveLength(1);
    expect(loadsIn(growth, 250)[0]!.areaMm2).toBeCloseTo(1200, -1);
    expect(Math.hypot(loadsIn(growth, 250)[0]!.x, loadsIn(growth, 250)[0]!.y)).toBeLessThan(0.2);
  });

  test.each([
    ['a table', table],
    ['a sphere', transformed(icosphere(12, 5), { shift: [0, 0, 17] })],
    ['a plate tilted by 10°', transformed(box([40, 30, 3]), { turn: [10, 0, 0], shift: [0, 0, 12] })],
    [
      'a cone on its tip, flatter than 19°',
      transformed(cone(20, 5, 96), { turn: [180, 0, 0], shift: [0, 0, 10] }),
    ],
  ])(
    'no overhang of %s is further from a tip than the spacing, and no two tips under it are nearer',
    (_, mesh) => {
      const { contacts } = logOf(mesh);
      const points = overhangPoints(mesh, setting.selfSupportDeg);
      expect(points.length).toBeGreaterThan(50);
      // Between the places along a run it is half a gap more at most.
      const far = points.filter(
        (point) => !contacts.some(({ at }) => distance(at, point) <= 1.5 * setting.spacingMm),
      );
      // Slivers of a single row are the lattice's own.
      expect(far.length).toBeLessThan(0.01 * points.length);
      const hanging = contacts.filter(({ isStart }) => !isStart);
      hanging.forEach(({ at }, n) => {
        const near = hanging.slice(0, n).filter((other) => distance(at, other.at) < setting.spacingMm);
        expect(near).toEqual([]);
      });
    },
  );

  test('what stands on the plate and carries itself gets none', () => {
    const standing = transformed(box([10, 10, 20]), { shift: [0, 0, 10] });
    expect(logOf(standing)).toMatchObject({ contacts: [], growth: { onPlate: true } });
    expect(logOf(transformed(box([10, 10, 20]), { shift: [0, 0, 15] })).growth.onPlate).toBe(false);
  });

  test('a peg beside it that starts in air is a body of its own until they meet', () => {
    const bridge = join(
      transformed(box([10, 10, 30]), { shift: [0, 0, 15] }),
      transformed(box([10, 10, 12]), { shift: [20, 0, 24] }),
      transformed(box([30, 10, 2]), { shift: [10, 0, 29] }),
    );
    const { contacts, growth } = logOf(bridge);
    expect(growth.bodies).toBe(2);
    const start = contacts.find(({ isStart }) => isStart)!;
    expect(start.layer).toBe(180);
    expect(start.at[0]).toBeCloseTo(20, 0);
    expect(loadsIn(growth, 200).map(({ body }) => body)).toEqual([0, 1]);
    expect(mergesIn(growth, 280)).toEqual([[0, 1]]);
  });

  test('a tip that begins smaller than what counts is held where it begins, as soon as it is large enough', () => {
    const tip = transformed(cone(6, 12, 96), { turn: [180, 0, 0], shift: [0, 0, 20] });
    const { contacts } = logOf(tip, { leastMm2: 3, selfSupportDeg: 60 });
    const [start, ...others] = contacts;
    expect(start).toMatchObject({ isStart: true });
    // Its first layer spans 0.1 mm at most; nothing stands beside it before it counts.
    expect(start!.at[2]).toBeLessThan(14.5);
    expect(Math.hypot(start!.at[0], start!.at[1])).toBeLessThan(0.3);
    // π·r² = 3 mm² at r = 0.98 mm, 1.95 mm up.
    for (const { at } of others) expect(at[2]).toBeGreaterThan(15.7);
  });

  test('what never grows large enough to count gets no tip, nor what joins a held body before it does', () => {
    const needle = transformed(box([0.3, 0.3, 6]), { shift: [20, 0, 9] });
    const post = transformed(box([10, 10, 20]), { shift: [0, 0, 10] });
    const spur = transformed(box([3, 0.3, 4]), { turn: [0, 45, 0], shift: [6, 0, 14] });
    const { contacts, growth } = logOf(join(post, needle, spur), { leastMm2: 0.5 });
    expect(growth.bodies).toBe(3);
    expect(contacts.filter(({ isStart }) => isStart)).toEqual([]);
    // The needle begins first, the block beside it counts first; a bridge makes them one.
    const beside = join(
      transformed(box([0.3, 0.3, 8]), { shift: [0, 0, 9] }),
      transformed(box([3, 3, 5]), { shift: [5, 0, 10.5] }),
      transformed(box([9, 3, 2]), { shift: [2.5, 0, 13] }),
    );
    const starts = logOf(beside, { leastMm2: 0.5 }).contacts.filter(({ isStart }) => isStart);
    expect(starts.map(({ at }) => Math.round(at[2]))).toEqual([8]);
    expect(logOf(join(post, needle, spur), { leastMm2: 0.01 }).contacts.length).toBeGreaterThan(1);
  });

  test('a start stands within its piece, half a tip from its rim', () => {
    const raised = transformed(tube(10, 8, 6, 128), { shift: [0, 0, 9] });
    const [start] = logOf(raised).contacts;
    const r = Math.hypot(start!.at[0], start!.at[1]);
    expect(r).toBeGreaterThan(8.15);
    expect(r).toBeLessThan(9.85);
  });

  test('a strut that stands on the show side marks it as a tip does', () => {
    const plate = solidAt(transformed(box([30, 20, 3]), { shift: [0, 0, 9] }));
    const standing = (stands: 'plate' | 'part') =>
      logLoads(plate, setting, {
        ...anywhere,
        isShown: ([, , z]) => z < 1,
        routeFrom: (from) => ({ ...straightDown(from), stands }),
      }).contacts.filter(({ onShow }) => onShow).length;
    expect(standing('plate')).toBe(0);
    expect(standing('part')).toBeGreaterThan(20);
  });

  test('a contact keeps off the show side where one beside it would do, and says so where none would', () => {
    const plate = solidAt(transformed(box([30, 20, 3]), { shift: [0, 0, 9] }));
    const contactsWhere = (isShown: (at: Vec3) => boolean) =>
      logLoads(plate, setting, { ...anywhere, isShown, routeFrom: straightDown }).contacts.filter(
        ({ isStart }) => !isStart,
      );
    const stripe = ([, y]: Vec3): boolean => Math.abs(y) < 2.5;
    expect(contactsWhere(() => false).some(({ at }) => stripe(at))).toBe(true);
    expect(contactsWhere(stripe).filter(({ onShow }) => onShow)).toEqual([]);
    expect(contactsWhere(stripe).filter(({ at }) => stripe(at))).toEqual([]);
    const half = ([x]: Vec3): boolean => x > 0;
    for (const { at, onShow } of contactsWhere(half)) expect(onShow).toBe(half(at));
    expect(contactsWhere(half).filter(({ onShow }) => onShow).length).toBeGreaterThan(5);
  });
});
