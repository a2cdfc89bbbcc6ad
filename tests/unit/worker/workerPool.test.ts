import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, afterEach, expect, it } from 'vitest';
import { openMemoryBudget } from '../../../src/worker/memoryBudget.ts';
import { type JobOptions, openWorkerPool, type WorkerPool } from '../../../src/worker/workerPool.ts';

/** A thread that does what its request's name says, with messages of the RPC written by hand. */
const script = `
import { parentPort, threadId } from 'node:worker_threads';
parentPort.on('message', ({ kind, id, params }) => {
  if (kind !== 'request') return;
  const { name, ms } = params.request;
  if (name === 'crash') throw new Error('crashed');
  if (name === 'deaf') for (;;);
  if (name === 'spent') parentPort.postMessage({ kind: 'request', version: 1, id: 1, method: 'spent', params: null });
  if (name === 'thread') return void parentPort.postMessage({ kind: 'reply', id, value: threadId });
  const end = Date.now() + (ms ?? 0);
  while (Date.now() < end);
  parentPort.postMessage({ kind: 'reply', id, value: name });
});
`;
const folder = mkdtempSync(join(tmpdir(), 'kitwright-pool-'));
const file = join(folder, 'thread.mjs');
writeFileSync(file, script);
let pool: WorkerPool;
afterEach(() => pool.close());
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const open = (threads: number, bytes = 1e9, budget = openMemoryBudget(bytes)): WorkerPool => {
  pool = openWorkerPool(pathToFileURL(file), budget, threads);
  return pool;
};
const run = (
  name: string,
  options: Partial<JobOptions> & { ms?: number; path?: string } = {},
): Promise<unknown> =>
  pool.run('measure', { name, path: options.path ?? name, ms: options.ms } as never, {
    bytes: 1,
    urgent: false,
    signal: new AbortController().signal,
    onProgress: () => {},
    ...options,
  });
const reasonOf = (job: Promise<unknown>): Promise<string> =>
  job.then(
    () => 'no error',
    (error: { failure?: { code: string }; message: string }) => error.failure?.code ?? error.message,
  );

it('runs jobs one after the other on a thread, urgent ones first', async () => {
  open(1);
  const order: string[] = [];
  const note = (job: Promise<unknown>) => job.then((name) => order.push(String(name)));
  await Promise.all([
    note(run('first', { ms: 50 })),
    note(run('second')),
    note(run('third')),
    note(run('view', { urgent: true })),
  ]);
  expect(order).toEqual(['first', 'view', 'second', 'third']);
});

it('has a thread started by the time a job shares something, and no more than it may', async () => {
  let started = 0;
  const count = (): void => void started++;
  process.on('worker', count);
  try {
    for (const [threads, expected] of [
      [1, 1],
      [2, 2],
      [5, 2],
    ] as const) {
      started = 0;
      open(threads);
      await run('first', { ms: 5 });
      expect([threads, started]).toEqual([threads, expected]);
      await run('second', { ms: 5 });
      expect([threads, started]).toEqual([threads, expected]);
      await pool.close();
    }
  } finally {
    process.off('worker', count);
  }
});

it('runs jobs of one file in turn, even where threads are free', async () => {
  open(2);
  const order: string[] = [];
  const note = (job: Promise<unknown>) => job.then((name) => order.push(String(name)));
  await Promise.all([
    note(run('check', { path: 'torso.stl', ms: 150 })),
    note(run('view', { path: 'torso.stl', urgent: true })),
  ]);
  expect(order).toEqual(['check', 'view']);
});

it('holds no thread for a job whose file is in use', async () => {
  open(2);
  const order: string[] = [];
  const note = (job: Promise<unknown>) => job.then((name) => order.push(String(name)));
  await Promise.all([
    note(run('check', { path: 'torso.stl', ms: 1200 })),
    note(run('view', { path: 'torso.stl', urgent: true })),
    note(run('cap', { path: 'cap.stl', ms: 10 })),
  ]);
  expect(order).toEqual(['cap', 'check', 'view']);
});

it('keeps to the memory budget in the order of asking, so that a large job is not overtaken for ever', async () => {
  open(3, 100);
  const order: string[] = [];
  const note = (job: Promise<unknown>) => job.then((name) => order.push(String(name)));
  await Promise.all([
    note(run('first', { bytes: 60, ms: 100 })),
    note(run('large', { bytes: 90, ms: 10 })),
    note(run('small', { bytes: 10 })),
  ]);
  expect(order).toEqual(['first', 'large', 'small']);
});

it('starts what waits for memory when somebody else gives it back', async () => {
  const budget = openMemoryBudget(100);
  const giveBack = budget.take(60)!;
  open(1, 100, budget);
  const job = run('large', { bytes: 90 });
  const early = await Promise.race([job, new Promise((resolve) => setTimeout(() => resolve('waits'), 50))]);
  expect(early).toBe('waits');
  giveBack();
  expect(await job).toBe('large');
});

it('lets what waits behind a cancelled job start', async () => {
  open(3, 100);
  const controller = new AbortController();
  const first = run('first', { bytes: 60, ms: 1500 });
  const large = reasonOf(run('large', { bytes: 90, signal: controller.signal }));
  const small = run('small', { bytes: 10 }).then(() => 'small');
  controller.abort();
  expect(await large).toBe('cancelled');
  expect(await Promise.race([small, first.then(() => 'first')])).toBe('small');
  await first;
});

it('ends a thread that does not hear a cancel, and goes on with a new one', async () => {
  open(1);
  const controller = new AbortController();
  const deaf = reasonOf(run('deaf', { signal: controller.signal }));
  setTimeout(() => controller.abort(), 100);
  expect(await deaf).toBe('cancelled');
  expect(await run('next')).toBe('next');
});

it('forgets a job cancelled while it waits', async () => {
  open(1);
  const controller = new AbortController();
  const busy = run('busy', { ms: 150 });
  const waiting = reasonOf(run('waiting', { signal: controller.signal }));
  controller.abort();
  expect(await waiting).toBe('cancelled');
  expect(await busy).toBe('busy');
  expect(await run('next')).toBe('next');
});

it('turns a crash into a coded failure of that job alone', async () => {
  open(2);
  const [crash, other] = await Promise.all([reasonOf(run('crash')), run('other', { ms: 100 })]);
  expect(crash).toBe('engine-stopped');
  expect(other).toBe('other');
  expect(await run('next')).toBe('next');
});

it('replaces a thread that says it is spent, after its job', async () => {
  open(1);
  const [first, same] = [await run('thread'), await run('thread')];
  expect(same).toBe(first);
  expect(await run('spent')).toBe('spent');
  const next = await run('thread');
  expect(next).not.toBe(first);
  expect(await run('thread')).toBe(next);
});
