import { expect, it } from 'vitest';
import { openTurns } from '../../../src/worker/turns.ts';

const never = new AbortController().signal;
const settled = async (promise: Promise<unknown>): Promise<boolean> =>
  Promise.race([
    promise.then(() => true),
    new Promise<boolean>((resolve) => setTimeout(() => resolve(false), 5)),
  ]);

it('lets one hold a name at a time, in the order of asking, and others go by', async () => {
  const turns = openTurns();
  const first = await turns.take('torso', never);
  const second = turns.take('torso', never);
  const third = turns.take('torso', never);
  expect(await settled(second)).toBe(false);
  expect(await settled(turns.take('head', never))).toBe(true);
  first();
  (await second)();
  (await third)();
  expect(await settled(turns.take('torso', never))).toBe(true);
});

it('forgets who was cancelled while waiting', async () => {
  const turns = openTurns();
  const first = await turns.take('torso', never);
  const controller = new AbortController();
  const gone = turns.take('torso', controller.signal);
  const next = turns.take('torso', never);
  controller.abort();
  await expect(gone).rejects.toThrow('cancelled');
  first();
  expect(await settled(next)).toBe(true);
});
