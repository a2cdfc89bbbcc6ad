import { spawnSync } from 'node:child_process';
import { expect, test } from 'vitest';
import { engineEnvironment } from '../../../src/worker/engineEnvironment.ts';

const asked = 'glibc.malloc.hugetlb=1:glibc.malloc.arena_max=1:glibc.malloc.mmap_threshold=33554432';

test('large pages and one heap are asked for; the rest, a builder’s own tunables last, stays', () => {
  expect(engineEnvironment({ PATH: '/bin' })).toEqual({ PATH: '/bin', GLIBC_TUNABLES: asked });
  const own = engineEnvironment({ GLIBC_TUNABLES: 'glibc.malloc.hugetlb=0' });
  expect(own['GLIBC_TUNABLES']).toBe(`${asked}:glibc.malloc.hugetlb=0`);
});

test('a process starts with it and says nothing', () => {
  const run = spawnSync(process.execPath, ['-e', 'console.log(new Float64Array(4e6).fill(1)[7])'], {
    env: engineEnvironment(process.env),
    encoding: 'utf8',
  });
  expect(run.stdout.trim()).toBe('1');
  expect(run.stderr).toBe('');
});
