import { describe, expect, it } from 'vitest';
import { CheckQueue } from '../../../src/features/liveCheck/checkQueue.ts';

/** A job that ends when told to, or when aborted. */
function recorder() {
  const log: string[] = [];
  const finish = new Map<string, () => void>();
  const queue = new CheckQueue<string>((key, signal) => {
    log.push(`start ${key}`);
    return new Promise<void>((resolve) => {
      const end = (how: string) => () => {
        log.push(`${how} ${key}`);
        resolve();
      };
      finish.set(key, end('end'));
      signal.addEventListener('abort', end('abort'), { once: true });
    });
  });
  return { log, queue, finish: (key: string) => finish.get(key)!() };
}

const settled = () => new Promise((resolve) => setImmediate(resolve));

describe('CheckQueue', () => {
  it('runs one at a time, in order', async () => {
    const { log, queue, finish } = recorder();
    queue.ask('a', false);
    queue.ask('b', false);
    finish('a');
    await settled();
    finish('b');
    await settled();
    expect(log).toEqual(['start a', 'end a', 'start b', 'end b']);
    expect(queue.idle).toBe(true);
  });

  it('aborts a stale run of the same key and runs it again once', async () => {
    const { log, queue, finish } = recorder();
    queue.ask('a', true);
    queue.ask('a', true);
    queue.ask('a', true);
    await settled();
    finish('a');
    await settled();
    expect(log.filter((line) => line === 'start a')).toHaveLength(2);
    expect(log.at(-1)).toBe('end a');
    expect(queue.idle).toBe(true);
  });

  it('lets an urgent key go first and comes back to the one it pushed aside', async () => {
    const { log, queue, finish } = recorder();
    queue.ask('a', false);
    queue.ask('b', false);
    queue.ask('c', true);
    await settled();
    finish('c');
    await settled();
    expect(log.slice(0, 4)).toEqual(['start a', 'abort a', 'start c', 'end c']);
    finish('b');
    await settled();
    finish('a');
    await settled();
    expect(log.filter((line) => line.startsWith('end')).sort()).toEqual(['end a', 'end b', 'end c']);
  });

  it('drops what is no longer wanted', async () => {
    const { log, queue } = recorder();
    queue.ask('a', false);
    queue.ask('b', false);
    queue.drop('b');
    queue.drop('a');
    await settled();
    expect(log).toEqual(['start a', 'abort a']);
    expect(queue.idle).toBe(true);
  });
});
