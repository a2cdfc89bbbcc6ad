import { expect, test } from 'vitest';
import type { PosedDrain } from '../../../src/core/drainage/chamberDrain.ts';
import { liquidTrapped } from '../../../src/core/kit/rules/liquidTrapped.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { contextOf } from './contextOf.ts';

const drain: PosedDrain = {
  down: [0, 0, -1],
  downInPrint: [0, 0, -1],
  turn: [0, 30, 0],
  better: null,
  leftMm3: 2500,
  retainedMm3: 0,
  air: 'other',
  seconds: 40,
  byOpening: [],
  pond: { volumeMm3: 1800, at: [1, 2, 3], depthMm: 9, lastTenthMm: 4, holds: 'drains/0' },
  hangingMm3: 9000,
  freeingMm: 3.2,
  airingMm: null,
};

function drafts(...drains: (PosedDrain | null)[]) {
  return liquidTrapped(contextOf({ drains }));
}

function draftsWithWash(drain: PosedDrain) {
  const context = contextOf({ drains: [drain] });
  const wash: Vec3 = [90, 0, 0];
  return liquidTrapped({ ...context, part: { ...context.part, wash } });
}

test('what stays in the best attitude is told with its place, the hole that would free it, and the caution', () => {
  const [draft, ...others] = drafts(null, drain);
  expect(others).toEqual([]);
  expect([draft!.measured, draft!.limit, draft!.at]).toEqual([2.5, 2, [1, 2, 3]]);
  expect(draft!.message).toBe(
    '2.5 ml of liquid stay in a chamber of torso however it is held for the wash (least plate end down, a turn of 0, 30, 0). 1.8 ml stand in one place, behind the drain 0; a hole of 4 mm there would let it out. Liquid that is sealed in later stays liquid, can leak and can split the part.',
  );
  expect([draft!.path, draft!.remedies]).toEqual([['parts', 'torso'], [{ kind: 'propose' }]]);
});

test('surface tension is named where it holds most of it, and the opening is made wider', () => {
  const [draft] = drafts({ ...drain, retainedMm3: 2000 });
  expect(draft!.message).toContain('2 ml of it is held by surface tension');
  expect(draft!.remedies).toEqual([{ kind: 'diameter', value: 4, opening: 'drains/0' }, { kind: 'propose' }]);
  const pocket = { ...drain, retainedMm3: 2000, pond: { ...drain.pond!, holds: null } };
  expect(drafts(pocket)[0]!.remedies).toEqual([{ kind: 'propose' }]);
  expect(drafts(pocket)[0]!.message).not.toContain('behind');
});

test('at the limit nothing is told; without a pond there is no place', () => {
  expect(drafts({ ...drain, leftMm3: 2000 })).toEqual([]);
  expect(drafts({ ...drain, pond: null, freeingMm: null })[0]!.at).toBeUndefined();
});

test('what stays in an attitude that was asked for is told there, with a better one', () => {
  const better = { turn: [0, 45, 0] as Vec3, leftMm3: 300 };
  const [draft] = draftsWithWash({ ...drain, better });
  expect(draft!.path).toEqual(['parts', 'torso', 'wash']);
  expect(draft!.message).toContain(
    'as wash holds it, plate end down; with a wash of 0, 45, 0 it would be 0.3 ml.',
  );
  expect(draft!.remedies).toEqual([{ kind: 'wash', turn: [0, 45, 0] }, { kind: 'propose' }]);
  const littleBetter = { ...better, leftMm3: 2100 };
  expect(draftsWithWash({ ...drain, better: littleBetter })[0]!.remedies).toEqual([{ kind: 'propose' }]);
  expect(draftsWithWash(drain)[0]!.message).toContain('as wash holds it, plate end down. ');
});

test('where no air comes in all of the chamber may stay', () => {
  const airless = { ...drain, leftMm3: 0, pond: null, air: 'none' as const, airingMm: 3.603 };
  const [draft] = drafts(airless);
  expect([draft!.measured, draft!.unit]).toEqual([30, 'ml']);
  expect(draft!.message).toContain('however it is held for the wash, so all of its 30 ml may stay');
  expect(draft!.message).toContain('or one of more than 3.7 mm and hold that sideways');
  const better = { turn: [0, 45, 0] as Vec3, leftMm3: 300 };
  expect(draftsWithWash({ ...airless, better })[0]!.message).toContain(
    'as wash holds it, plate end down, so all of its 30 ml may stay: surface tension closes its openings. With a wash of 0, 45, 0 air would come in.',
  );
});
