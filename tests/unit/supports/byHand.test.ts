import { expect, test } from 'vitest';
import { undersideNear } from '../../../src/core/supports/undersideNear.ts';
import { norm, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { box, join, transformed } from '../../shapes.ts';
import { planOf, setting, solidAt, table } from './supported.ts';

const one = (at: Vec3, tipMm: number | null = null, index = 0) => ({ index, at, tipMm });
const plain = planOf(table);

test('the underside that is meant is the nearest in its column', () => {
  const { solid } = solidAt(table);
  const under = (at: Vec3, within = 2) =>
    undersideNear(solid, at, within)?.at.map((c) => Math.round(10 * c) / 10);
  expect(under([0, 0, 25.9])).toEqual([0, 0, 25]);
  expect(under([0, 0, 23.2])).toEqual([0, 0, 25]);
  expect(under([0, 0, 22.8])).toBeUndefined();
  expect(under([17, 12, 6])).toEqual([17, 12, 5]);
  // Solid all the way up and down, beside the part, and off the grid.
  expect(under([17, 12, 15])).toBeUndefined();
  expect(under([40, 0, 25])).toBeUndefined();
  expect(under([0, 1000, 25])).toBeUndefined();
  expect(under([Number.NaN, Number.NaN, Number.NaN])).toBeUndefined();
});

test('a support placed by hand stands where it was put, and planned ones keep their distance', () => {
  const at: Vec3 = [1.3, 0.7, 25.4];
  const near = plain.supports.filter(({ contact }) => norm(subtract(contact.at, [1.3, 0.7, 25])) < 3);
  expect(near.length).toBeGreaterThan(0);
  const { supports, idle } = planOf(table, {}, 0, { byHand: [one(at, 0.8, 7)] });
  expect(idle).toEqual([]);
  const own = supports.filter(({ contact }) => contact.byHand === 7);
  expect(own.map(({ contact, tipMm }) => [contact.at.map((c) => Math.round(1e6 * c) / 1e6), tipMm])).toEqual([
    [[1.3, 0.7, 25], 0.8],
  ]);
  for (const { contact } of supports) {
    if (contact.byHand !== null) continue;
    expect(norm(subtract(contact.at, own[0]!.contact.at))).toBeGreaterThan(setting.spacingMm);
  }
});

test('its width is the least: the pull may ask for more, up to the widest and no further', () => {
  const stool = join(
    transformed(box([30, 30, 4]), { shift: [0, 0, 22] }),
    transformed(box([2, 2, 14.9]), { shift: [0, 0, 12.5] }),
  );
  const tipOf = (tipMm: number | null) =>
    planOf(stool, {}, 10, { byHand: [one([0, 0, 5], tipMm)] }).supports.find(
      ({ contact }) => contact.byHand === 0,
    )!.tipMm;
  expect(tipOf(null)).toBeGreaterThan(0.4);
  expect(tipOf(2)).toBe(2);
});

test('a tip wider than any strut stands on the widest one, which is not slender by that', () => {
  const { supports } = planOf(table, {}, 0, { byHand: [one([0, 0, 25], 6)] });
  const own = supports.find(({ contact }) => contact.byHand === 0)!;
  expect([own.tipMm, own.strutMm, own.slender]).toEqual([6, 4, false]);
});

test('at a start it holds the start; further up the start gets one of its own', () => {
  const post = transformed(box([3, 3, 20]), { shift: [0, 0, 15] });
  const wing = transformed(box([20, 3, 3]), { shift: [10, 0, 20] });
  const startsWith = (...places: Vec3[]) =>
    planOf(join(post, wing), { spacingMm: 50 }, 0, {
      byHand: places.map((at, index) => one(at, null, index)),
    }).supports.map(({ contact }) => [contact.byHand, contact.isStart]);
  expect(startsWith([0.4, 0.4, 5])).toEqual([[0, true]]);
  const apart = startsWith([8, 0, 18.5]);
  expect(apart).toContainEqual([null, true]);
  expect(apart).toContainEqual([0, false]);
});

test('what is placed where nothing can stand is told, and held by the plan as before', () => {
  const places = [one([0, 0, 15], null, 3), one([60, 0, 25], null, 5)];
  const { idle, supports } = planOf(table, {}, 0, { byHand: places });
  expect(idle).toEqual([
    { index: 3, why: 'no underside' },
    { index: 5, why: 'no underside' },
  ]);
  expect(supports).toEqual(plain.supports);
});

test('two in one place hold as one: the later is told', () => {
  const { idle, supports } = planOf(table, {}, 0, {
    byHand: [one([3, 2, 25], 0.8), one([3.1, 2, 25.3], 0.8, 1)],
  });
  expect(idle).toEqual([{ index: 1, why: 'taken' }]);
  expect(supports.filter(({ contact }) => contact.byHand !== null)).toHaveLength(1);
});

test('what is kept free is touched by no planned tip; a start there is told', () => {
  const kept = ([x]: Vec3): boolean => x > 0;
  const { supports, unreached } = planOf(table, {}, 0, { isKeptFree: kept });
  expect(supports.length).toBeGreaterThan(5);
  for (const { contact } of supports) expect(kept(contact.at)).toBe(false);
  expect(unreached.map(({ at, keptFree }) => [Math.round(at[0]), keptFree])).toEqual([
    [17, true],
    [17, true],
  ]);
  // Those placed by hand may stand there all the same.
  const own = planOf(table, {}, 0, {
    isKeptFree: kept,
    byHand: [one([17, 12, 5]), one([17, -12, 5], null, 1)],
  });
  expect(own.unreached).toEqual([]);
  expect(own.supports.filter(({ contact }) => kept(contact.at))).toHaveLength(2);
});
