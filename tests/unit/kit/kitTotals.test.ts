import { expect, it } from 'vitest';
import { costOf, kitTotals } from '../../../src/core/kit/kitTotals.ts';

const figures = { sizeMm: [1, 2, 3] as const, liquidMl: 100, massG: 110, hours: 5, cost: costOf(100, 38) };

it('sums up every copy of what was measured', () => {
  expect(costOf(100, 38)).toBeCloseTo(3.8);
  const totals = kitTotals([
    { copies: 2, figures },
    { copies: 1, figures: { ...figures, cost: null } },
    { copies: 4, figures: null },
  ]);
  expect(totals).toEqual({
    parts: 3,
    prints: 3,
    measured: 2,
    liquidMl: 300,
    massG: 330,
    hours: 15,
    cost: expect.closeTo(7.6, 9),
    costIsPart: true,
  });
});

it('has no cost where no price is known', () => {
  expect(kitTotals([{ copies: 1, figures: { ...figures, cost: null } }]).cost).toBeNull();
  expect(kitTotals([])).toMatchObject({ parts: 0, measured: 0, cost: null, costIsPart: false });
});
