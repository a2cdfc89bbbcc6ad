import { expect, it } from 'vitest';
import { openMemoryBudget } from '../../../src/worker/memoryBudget.ts';

const never = new AbortController().signal;
const settled = async (promise: Promise<unknown>): Promise<boolean> =>
  Promise.race([
    promise.then(() => true),
    new Promise<boolean>((resolve) => setTimeout(() => resolve(false), 5)),
  ]);

it('lets jobs run while they fit and makes the next one wait', async () => {
  const budget = openMemoryBudget(100);
  const first = await budget.take(60, never);
  const second = budget.take(60, never);
  expect(await settled(second)).toBe(false);
  first();
  expect(await settled(second)).toBe(true);
});

it('runs a job larger than the budget alone instead of never', async () => {
  const budget = openMemoryBudget(100);
  const whole = await budget.take(500, never);
  const next = budget.take(1, never);
  expect(await settled(next)).toBe(false);
  whole();
  expect(await settled(next)).toBe(true);
});

it('keeps the order of asking, so that a large job is not overtaken for ever', async () => {
  const budget = openMemoryBudget(100);
  const first = await budget.take(60, never);
  const large = budget.take(90, never);
  const small = budget.take(10, never);
  expect(await settled(small)).toBe(false);
  first();
  expect(await settled(large)).toBe(true);
});

it('forgets a cancelled waiter and gives back only once', async () => {
  const budget = openMemoryBudget(100);
  const first = await budget.take(100, never);
  const controller = new AbortController();
  const waiting = budget.take(50, controller.signal);
  controller.abort();
  await expect(waiting).rejects.toThrow('cancelled');
  first();
  first();
  const again = await budget.take(100, never);
  expect(await settled(budget.take(1, never))).toBe(false);
  again();
});
