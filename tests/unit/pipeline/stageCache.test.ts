import { mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { openStageCache, stageKey } from '../../../src/pipeline/stageCache.ts';

let kit: string;
beforeEach(() => {
  kit = mkdtempSync(join(tmpdir(), 'kitwright-cache-'));
});
afterEach(() => rmSync(kit, { recursive: true, force: true }));

const folder = (): string => join(kit, '.kitwright', 'cache');

it('gives back what was written, and nothing for another key', async () => {
  const cache = openStageCache(kit, true);
  await cache.write('areas', 'k1', { areas: new Float64Array([1, 2]) });
  expect(await cache.read('areas', 'k1')).toEqual({ areas: new Float64Array([1, 2]) });
  expect(await cache.read('areas', 'k2')).toBeNull();
  expect(await cache.read('mesh', 'k1')).toBeNull();
});

it('writes but does not read when asked to compute again', async () => {
  await openStageCache(kit, false).write('areas', 'k', { n: 1 });
  expect(await openStageCache(kit, false).read('areas', 'k')).toBeNull();
  expect(await openStageCache(kit, true).read('areas', 'k')).toEqual({ n: 1 });
});

it('takes a damaged entry as a miss and leaves no half-written file', async () => {
  const cache = openStageCache(kit, true);
  await cache.write('areas', 'k', { areas: new Float64Array(100) });
  const [name] = readdirSync(folder());
  writeFileSync(join(folder(), name!), 'KWC1 but not really');
  expect(await cache.read('areas', 'k')).toBeNull();
  expect(readdirSync(folder())).toEqual([name]);
});

it('keeps its size under the bound, the newest entries last to go', async () => {
  const cache = openStageCache(kit, true, 5000);
  for (let at = 0; at < 8; at++) {
    await cache.write('big', `k${at}`, { data: new Uint8Array(1000) });
    await new Promise((resolve) => setTimeout(resolve, 15));
  }
  const total = readdirSync(folder()).reduce((sum, name) => sum + statSync(join(folder(), name)).size, 0);
  expect(total).toBeLessThanOrEqual(5000);
  expect(await cache.read('big', 'k7')).not.toBeNull();
  expect(await cache.read('big', 'k0')).toBeNull();
});

it('does without a folder that cannot be written', async () => {
  writeFileSync(join(kit, '.kitwright'), 'a file where the folder should be');
  const cache = openStageCache(kit, true);
  await cache.write('areas', 'k', { n: 1 });
  expect(await cache.read('areas', 'k')).toBeNull();
});

it('makes different keys from different stages and inputs, the same from the same', () => {
  expect(stageKey('mesh', ['a', 1])).toBe(stageKey('mesh', ['a', 1]));
  expect(
    new Set([stageKey('mesh', ['a', 1]), stageKey('mesh', ['a', 2]), stageKey('cavity', ['a', 1])]).size,
  ).toBe(3);
});
