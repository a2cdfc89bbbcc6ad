import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { buildSync } from 'esbuild';
import { afterAll, afterEach, beforeAll, expect, it } from 'vitest';
import type { Turn } from '../../../src/pipeline/hands.ts';
import { openMemoryBudget } from '../../../src/worker/memoryBudget.ts';
import { openWorkerPool, type WorkerPool } from '../../../src/worker/workerPool.ts';

const folder = mkdtempSync(join(tmpdir(), 'kitwright-hands-'));
const script = join(folder, 'thread.mjs');
beforeAll(() => {
  const entry = join(import.meta.dirname, 'handsThread.ts');
  buildSync({ entryPoints: [entry], outfile: script, bundle: true, platform: 'node', format: 'esm' });
});
let pool: WorkerPool;
afterEach(() => pool.close());
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const open = (threads: number): void => {
  pool = openWorkerPool(pathToFileURL(script), openMemoryBudget(1e9), threads);
};

interface JobParts {
  readonly task: string;
  readonly parts?: readonly unknown[];
  readonly times?: number;
  readonly spare?: readonly unknown[];
  readonly turn?: Turn;
  readonly forgets?: boolean;
  readonly path?: string;
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: { readonly fraction: number }) => void;
}

const run = ({
  task,
  parts = [0, 1],
  times = 1,
  spare,
  turn = 'last',
  forgets = false,
  path = task,
  ...options
}: JobParts): Promise<never> =>
  pool.run('measure', { path, task, parts, times, spare: spare ?? null, turn, forgets } as never, {
    bytes: 1,
    urgent: false,
    signal: new AbortController().signal,
    onProgress: () => {},
    ...options,
  }) as Promise<never>;

const reasonOf = (job: Promise<unknown>): Promise<string> =>
  job.then(
    () => 'no error',
    (error: { failure?: { code: string }; message: string }) => error.failure?.code ?? error.message,
  );

interface Square {
  readonly square: Float64Array;
  readonly helped: boolean;
}

const squares = (count: number) => {
  const input = new Float64Array(new SharedArrayBuffer(8 * count));
  return { input, parts: Array.from({ length: count }, (_, value) => ({ value, input })) };
};
const values = (results: readonly Square[]): number[] => results.map(({ square }) => square[0]!);

/** Ends only when two threads work on it. */
const meet = (path = 'meet'): Promise<unknown> => {
  const seen = new Int32Array(new SharedArrayBuffer(8));
  return run({ task: 'meet', parts: [{ seen }, { seen }], path });
};

it('does everything itself when no thread is idle', async () => {
  open(1);
  const results: readonly Square[] = await run({ task: 'square', parts: squares(4).parts });
  expect(values(results)).toEqual([0, 1, 4, 9]);
  expect(results.every(({ helped }) => !helped)).toBe(true);
});

it('puts an idle thread to the task, on the caller’s own shared arrays; results in the order of the parts', async () => {
  open(2);
  await meet();
  const { input, parts } = squares(12);
  const fractions: number[] = [];
  const onProgress = ({ fraction }: { fraction: number }) => fractions.push(fraction);
  const results: readonly Square[] = await run({ task: 'square', parts, onProgress });
  expect(values(results)).toEqual(parts.map(({ value }) => value * value));
  expect(results.filter(({ helped }) => helped).length).toBeGreaterThan(0);
  expect([...input]).toEqual(parts.map(({ value }) => value));
  expect(Math.max(...fractions)).toBeGreaterThan(0.5);
});

it('gives the same results to jobs that run and share side by side', async () => {
  open(2);
  const jobs = ['a', 'b', 'c', 'd'].map((path) =>
    run({ task: 'square', parts: squares(3).parts, times: 4, path }),
  );
  for (const results of await Promise.all(jobs)) expect(values(results)).toEqual([0, 1, 4]);
});

it('calls a lent thread back for a job that waits', async () => {
  open(2);
  const order: string[] = [];
  await meet();
  const long = run({ task: 'square', parts: squares(60).parts, path: 'long' }).then(() => order.push('long'));
  await new Promise((resolve) => setTimeout(resolve, 150));
  const short = run({ task: 'square', parts: squares(1).parts, path: 'short' }).then(() =>
    order.push('short'),
  );
  await Promise.all([long, short]);
  expect(order).toEqual(['short', 'long']);
});

it('lets a thread that comes free take part in what was shared while it was busy', async () => {
  open(2);
  await meet();
  const first = run({ task: 'square', parts: squares(3).parts, path: 'first' });
  const second = run({ task: 'square', parts: squares(30).parts, path: 'second' });
  await first;
  const results: readonly Square[] = await second;
  expect(values(results)).toEqual(Array.from({ length: 30 }, (_, n) => n * n));
  expect(results.filter(({ helped }) => helped).length).toBeGreaterThan(5);
});

it('gives what is not needed yet to a thread that comes free, while the job works on alone', async () => {
  open(2);
  await meet();
  const results: readonly Square[] = await run({
    task: 'square',
    parts: squares(2).parts,
    spare: squares(3).parts,
  });
  expect(values(results)).toEqual([0, 1, 4]);
  expect(results.every(({ helped }) => helped)).toBe(true);
});

it.each([
  ['at once', true],
  ['first', false],
  ['last', false],
] as const)('gives a thread that idles what is not needed yet and offered %s: %s', async (turn, helps) => {
  open(2);
  await meet();
  // One part is not shared: nobody comes free.
  const results: readonly Square[] = await run({
    task: 'square',
    parts: squares(1).parts,
    spare: squares(3).parts,
    turn,
  });
  expect(values(results)).toEqual([0, 1, 4]);
  expect(results.map(({ helped }) => helped)).toEqual([helps, helps, helps]);
});

it.each(['first', 'last'] as const)(
  'offers what is not needed yet %s: before or after what the job shares meanwhile',
  async (turn) => {
    open(2);
    await meet();
    const clock = new Int32Array(new SharedArrayBuffer(4));
    const clocked = (count: number) => {
      const { input, parts } = squares(count);
      return { input, parts: parts.map((part) => ({ ...part, clock })) };
    };
    const shared = clocked(40);
    const later = clocked(2);
    const other = run({ task: 'square', parts: squares(4).parts, path: 'other' });
    await run({ task: 'square', parts: shared.parts, spare: later.parts, turn });
    await other;
    const lastShared = Math.max(...shared.input);
    if (turn === 'first') expect(Math.max(...later.input)).toBeLessThan(lastShared - 10);
    else expect(Math.min(...later.input)).toBeGreaterThanOrEqual(lastShared - 1);
  },
);

it('does what was not needed yet itself once it is, when no thread came free', async () => {
  open(1);
  const results: readonly Square[] = await run({
    task: 'square',
    parts: squares(2).parts,
    spare: squares(3).parts,
  });
  expect(values(results)).toEqual([0, 1, 4]);
  expect(results.every(({ helped }) => !helped)).toBe(true);
});

it('does not do what was never needed once its job has ended', async () => {
  open(1);
  const { input, parts } = squares(3);
  await run({ task: 'square', parts: squares(2).parts, spare: parts, forgets: true });
  // Whatever the thread went on with would be done before this.
  expect(values(await run({ task: 'square', parts: squares(2).parts }))).toEqual([0, 1]);
  expect([...input]).toEqual([0, 0, 0]);
});

it('fails with the error of what was not needed yet only when it is', async () => {
  open(2);
  await meet();
  const job = run({ task: 'failsAt', parts: [{ bad: false }, { bad: false }], spare: [{ bad: true }] });
  await expect(job).rejects.toThrow('a part failed');
  expect(values(await run({ task: 'square', parts: squares(2).parts }))).toEqual([0, 1]);
});

it('fails the job with the error of the lent thread’s part, at once', async () => {
  open(2);
  await meet();
  await expect(run({ task: 'throws' })).rejects.toThrow('a part failed');
  expect(values(await run({ task: 'square', parts: squares(2).parts }))).toEqual([0, 1]);
});

it('fails the job with the coded error when the lent thread ends, and goes on with a new one', async () => {
  open(2);
  expect(await reasonOf(run({ task: 'crashes' }))).toBe('engine-stopped');
  await meet();
});

it('fails the job with its own part’s error and leaves no thread at work for it', async () => {
  open(2);
  await expect(run({ task: 'ownFails' })).rejects.toThrow('own part failed');
  await meet();
});

it.each(['endless', 'deafHelper'])('cancels both threads of %s, deaf or not', async (task) => {
  open(2);
  await meet();
  const controller = new AbortController();
  const job = reasonOf(run({ task, signal: controller.signal }));
  await new Promise((resolve) => setTimeout(resolve, 100));
  controller.abort();
  expect(await job).toBe('cancelled');
  await meet();
});
