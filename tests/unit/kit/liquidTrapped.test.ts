import { expect, test } from 'vitest';
import type { ChamberDrain } from '../../../src/core/drainage/chamberDrain.ts';
import { liquidTrapped } from '../../../src/core/kit/rules/liquidTrapped.ts';
import { contextOf } from './contextOf.ts';

const drain: ChamberDrain = {
  down: [0, 0, -1],
  turn: [0, 30, 0],
  leftMm3: 2500,
  retainedMm3: 0,
  air: 'other',
  seconds: 40,
  byOpening: [],
  pond: { volumeMm3: 1800, at: [1, 2, 3], level: 0, outlet: 0, lastTenthMm: 4, holds: 'drains/0' },
  hangingMm3: 9000,
  freeingMm: 3.2,
};
const drafts = (...drains: (ChamberDrain | null)[]) => liquidTrapped(contextOf({ drains }));

test('what stays in the best attitude is told with its place, the hole that would free it, and the caution', () => {
  const [draft, ...others] = drafts(null, drain);
  expect(others).toEqual([]);
  expect([draft!.measured, draft!.limit, draft!.at]).toEqual([2.5, 2, [1, 2, 3]]);
  expect(draft!.message).toContain('2.5 ml of liquid stay in a chamber of torso');
  expect(draft!.message).toContain('a turn of 0, 30, 0');
  expect(draft!.message).toContain('1.8 ml stand in one place, behind the drain 0; a hole of 4 mm there');
  expect(draft!.message).toContain('can leak and can split the part');
  expect(draft!.message).not.toContain('surface tension');
});

test('surface tension is named where it holds most of it; at the limit nothing is told', () => {
  expect(drafts({ ...drain, retainedMm3: 2000 })[0]!.message).toContain(
    '2 ml of it is held by surface tension',
  );
  expect(drafts({ ...drain, leftMm3: 2000 })).toEqual([]);
  expect(drafts({ ...drain, pond: null, freeingMm: null })[0]!.at).toBeUndefined();
});
