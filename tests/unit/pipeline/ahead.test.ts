import { expect, it } from 'vitest';
import { ahead } from '../../../src/pipeline/ahead.ts';

/** Work that is done elsewhere, or here once it is needed. */
function work(outcome: () => number) {
  const log: string[] = [];
  const stage = ahead('last', async (offer) => {
    log.push('made');
    await Promise.resolve();
    const later = offer();
    log.push(later?.turn ?? 'needed already');
    await later?.needed;
    log.push('needed');
    return outcome();
  });
  return { log, stage };
}

it('is offered when it is begun, and goes on only when somebody waits for it', async () => {
  const { log, stage } = work(() => 7);
  await stage.begin();
  await new Promise((resolve) => setTimeout(resolve, 5));
  expect(log).toEqual(['made', 'last']);
  expect(await stage.get()).toBe(7);
  expect(log).toEqual(['made', 'last', 'needed']);
});

it('is made once, begun or not; not offered for later where somebody waits already', async () => {
  const { log, stage } = work(() => 7);
  expect(await stage.get()).toBe(7);
  await stage.begin();
  expect(await stage.get()).toBe(7);
  expect(log).toEqual(['made', 'needed already', 'needed']);
});

it('has begun when it is known already', async () => {
  const stage = ahead('last', async () => 3);
  await stage.begin();
  expect(await stage.get()).toBe(3);
});

it('keeps a failure for whoever needs it', async () => {
  const stage = ahead<number>('last', () => Promise.reject(new Error('no such mesh')));
  await stage.begin();
  await expect(stage.get()).rejects.toThrow('no such mesh');
});
