import { expect, it } from 'vitest';
import { openMemoryBudget } from '../../../src/worker/memoryBudget.ts';

it('lets jobs run while they fit, and no more', () => {
  const budget = openMemoryBudget(100);
  const first = budget.take(60)!;
  expect(budget.take(60)).toBeNull();
  expect(budget.left()).toBe(40);
  first();
  expect(budget.take(60)).not.toBeNull();
});

it('runs a job larger than the budget alone instead of never', () => {
  const budget = openMemoryBudget(100);
  const whole = budget.take(500)!;
  expect(budget.left()).toBe(0);
  expect(budget.take(1)).toBeNull();
  whole();
  const small = budget.take(1)!;
  expect(budget.take(500)).toBeNull();
  small();
  expect(budget.take(500)).not.toBeNull();
});

it('gives back only once', () => {
  const budget = openMemoryBudget(100);
  const first = budget.take(50)!;
  budget.take(50);
  first();
  first();
  expect(budget.left()).toBe(50);
});
