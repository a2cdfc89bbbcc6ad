import { setMaxListeners } from 'node:events';
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { CancelledError } from '../core/interrupter.ts';
import type { Picture } from '../pipeline/viewPart.ts';
import { connect, type Peer, RpcError } from '../protocol/rpc.ts';
import type { MemoryBudget } from './memoryBudget.ts';
import { openStopFlag, type StopFlag, setStopped } from './stopFlag.ts';
import { type DonePart, field, partsLeft, type Team } from './team.ts';
import type { PoolMethods, StageProgress, ThreadMethods } from './threadApi.ts';
import { threadTransport } from './threadTransport.ts';
import { openWarmStore } from './warmStore.ts';

export interface JobOptions {
  /** Estimated peak, against the engine's one budget. */
  readonly bytes: number;
  /** Somebody looks at a blank picture: goes before what waits already. */
  readonly urgent: boolean;
  readonly signal: AbortSignal;
  readonly onProgress: (progress: StageProgress) => void;
  /** What a view shows before its facts are there. */
  readonly onPicture?: (picture: Picture) => void;
}

/** The jobs of the engine as they can be asked for. */
type JobMethods = Omit<ThreadMethods, 'help'>;
type JobName = keyof JobMethods & string;

export interface WorkerPool {
  run<K extends JobName>(
    method: K,
    request: JobMethods[K]['params']['request'],
    options: JobOptions,
  ): Promise<JobMethods[K]['result']>;
  close(): Promise<void>;
}

/** A thread that does not look at its stop flag for this long is ended; WASM cannot look. */
const graceMs = 50;
/** Silence after which a job counts as hung: every stage reports progress far more often. */
const silenceMs = 5 * 60_000;

/** Part of the memory budget that results may fill which no running job asks for. */
const warmShare = 0.25;

interface Thread {
  readonly worker: Worker;
  readonly peer: Peer<ThreadMethods>;
  job: RunningJob | null;
  /** The job of another thread that it works for, on this task of it. */
  helps: { readonly job: RunningJob; readonly team: Team } | null;
  /** Ends when its job is done. */
  spent: boolean;
  /** Settles when the thread is gone; null while it is meant to live. */
  ended: Promise<number> | null;
}

interface RunningJob {
  readonly stop: StopFlag;
  readonly signal: AbortSignal;
  /** Threads that were lent to it and are not back yet. */
  readonly helping: Set<Promise<unknown>>;
}

/** A task of a job that idle threads may work on, until its parts are all taken or the job ends. */
interface Offer {
  readonly job: RunningJob;
  readonly team: Team;
  readonly done: DonePart[];
  /** Threads at work on it. */
  helpers: number;
  settle(done: readonly DonePart[]): void;
  fail(error: unknown): void;
}

interface WaitingJob {
  readonly path: string;
  readonly options: JobOptions;
  start(thread: Thread, free: () => void): void;
}

/**
 * Runs jobs on worker threads, one at a time each and one at a time for each file: a check and a
 * view of one part, sent at the same edit, would otherwise measure it twice side by side; in turn,
 * the second finds the first one's stages kept. A job holds a thread, its file and memory of the
 * budget from its start to its end and nothing before, so that a thread without a job is idle and
 * can be lent to one that runs.
 */
export function openWorkerPool(
  script: URL,
  budget: MemoryBudget,
  size = Math.max(1, availableParallelism()),
): WorkerPool {
  const idle: Thread[] = [];
  const waiting: WaitingJob[] = [];
  /** In the order in which they are taken. */
  const offers: Offer[] = [];
  const busyPaths = new Set<string>();
  const alive = new Set<Thread>();
  const warm = openWarmStore(() => Math.min(warmShare * budget.totalBytes, budget.left()));
  let closed = false;
  // Others than jobs of this pool take of the budget too.
  budget.onGivenBack(startWaiting);

  function spawn(): Thread {
    const worker = new Worker(script);
    const thread: Thread = {
      worker,
      peer: connect<ThreadMethods, PoolMethods>(threadTransport(worker), {
        lend: (team) => lend(thread, team),
        takeWarm: async ({ name }) => warm.take(name),
        putWarm: async ({ name, block }) => {
          warm.put(name, block);
          return null;
        },
        spent: async () => {
          thread.spent = true;
          return null;
        },
      }),
      job: null,
      helps: null,
      spent: false,
      ended: null,
    };
    alive.add(thread);
    worker.on('error', (error) => retire(thread, `A worker of the engine failed: ${error.message}`));
    worker.on('exit', () => retire(thread, 'A worker of the engine ended before its work was done.'));
    return thread;
  }

  function retire(thread: Thread, message: string): void {
    if (!alive.delete(thread)) return;
    const at = idle.indexOf(thread);
    if (at >= 0) idle.splice(at, 1);
    thread.peer.close({
      code: 'engine-stopped',
      message: `${message} Check again; if it happens twice, the part may be too large for this machine’s memory.`,
    });
    thread.ended = thread.worker.terminate();
  }

  function takeThread(): Thread | null {
    return idle.pop() ?? (alive.size < size && !closed ? spawn() : null);
  }

  function release(thread: Thread): void {
    if (thread.spent) retire(thread, 'A worker of the engine was replaced.');
    else if (alive.has(thread)) idle.push(thread);
    startWaiting();
    lendIdle();
  }

  /** Starts what can start, in order; a job whose file is in use is passed over, one without memory is not. */
  function startWaiting(): void {
    for (let at = 0; at < waiting.length; ) {
      const job = waiting[at]!;
      if (busyPaths.has(job.path)) {
        at++;
        continue;
      }
      const thread = takeThread();
      if (thread === null) {
        recallThreads();
        return;
      }
      const free = budget.take(job.options.bytes);
      if (free === null) {
        idle.push(thread);
        return;
      }
      warm.trim();
      waiting.splice(at, 1);
      busyPaths.add(job.path);
      job.start(thread, free);
      startThread();
    }
  }

  /** One to idle, if there may be one more: it takes a while to start, and the job will soon have something to share. */
  function startThread(): void {
    if (idle.length === 0 && alive.size < size && !closed) idle.push(spawn());
  }

  /** Jobs come before help: a thread that was lent takes no further part and is back soon. */
  function recallThreads(): void {
    for (const { helps } of alive) {
      if (helps !== null) Atomics.store(new Int32Array(helps.team.fields), field.recalled, 1);
    }
  }

  function untilStarted(path: string, options: JobOptions): Promise<{ thread: Thread; free: () => void }> {
    const { signal, urgent } = options;
    if (signal.aborted) return Promise.reject(new CancelledError());
    return new Promise((resolve, reject) => {
      const job: WaitingJob = {
        path,
        options,
        start: (thread, free) => {
          signal.removeEventListener('abort', leave);
          resolve({ thread, free });
        },
      };
      const leave = () => {
        waiting.splice(waiting.indexOf(job), 1);
        reject(new CancelledError());
        startWaiting();
      };
      signal.addEventListener('abort', leave, { once: true });
      if (urgent) waiting.unshift(job);
      else waiting.push(job);
      startWaiting();
    });
  }

  /** Ends a thread that works for a job and has not settled `graceMs` after the job was cancelled. */
  async function unlessDeaf<T>(thread: Thread, { signal }: RunningJob, work: Promise<T>): Promise<T> {
    let timer: NodeJS.Timeout | undefined;
    const cancelled = () => {
      timer = setTimeout(() => retire(thread, 'The work was cancelled.'), graceMs);
    };
    if (signal.aborted) cancelled();
    else signal.addEventListener('abort', cancelled, { once: true });
    try {
      return await work;
    } finally {
      clearTimeout(timer);
      signal.removeEventListener('abort', cancelled);
    }
  }

  function lend({ job }: Thread, team: Team): Promise<readonly DonePart[]> {
    if (job === null) return Promise.resolve([]);
    return new Promise((settle, fail) => {
      // The last one first otherwise: what was offered before is not needed yet.
      const firsts = offers.filter((one) => one.team.turn === 'first').length;
      offers.splice(firsts, 0, { job, team, done: [], helpers: 0, settle, fail });
      if (team.turn === 'at once') lendIdle();
    });
  }

  /** Puts idle threads to what is offered; jobs that wait come first. */
  function lendIdle(): void {
    if (closed || waiting.some(({ path }) => !busyPaths.has(path))) return;
    for (const offer of [...offers]) {
      for (let left = partsLeft(offer.team); left > 0; left--) {
        const helper = takeThread();
        if (helper === null) return;
        void workOn(offer, helper);
      }
      // Its own thread has done it all.
      if (offer.helpers === 0) withdraw(offer);
    }
  }

  async function workOn(offer: Offer, helper: Thread): Promise<void> {
    offer.helpers++;
    try {
      offer.done.push(...(await help(helper, offer.job, offer.team)));
    } catch (error) {
      offer.fail(error);
      withdraw(offer);
    }
    offer.helpers--;
    // They come back when nothing is left of it, or called for a job; the rest is left to the one who offered it.
    if (offer.helpers === 0) withdraw(offer);
  }

  /** Whoever waits for it gets what has been done of it. */
  function withdraw(offer: Offer): void {
    const at = offers.indexOf(offer);
    if (at >= 0) offers.splice(at, 1);
    offer.settle(offer.done);
  }

  async function help(helper: Thread, job: RunningJob, team: Team): Promise<readonly DonePart[]> {
    helper.helps = { job, team };
    const work = unlessDeaf(helper, job, helper.peer.call('help', { team, stop: job.stop }))
      .catch(async (error: unknown) => {
        Atomics.store(new Int32Array(team.fields), field.failed, 1);
        await helper.ended;
        throw error;
      })
      .finally(() => {
        helper.helps = null;
        job.helping.delete(work);
        release(helper);
      });
    job.helping.add(work);
    return work;
  }

  async function runOn<K extends JobName>(
    thread: Thread,
    method: K,
    request: JobMethods[K]['params']['request'],
    options: JobOptions,
  ): Promise<JobMethods[K]['result']> {
    const job: RunningJob = {
      stop: openStopFlag(),
      signal: options.signal,
      helping: new Set(),
    };
    const stop = () => setStopped(job.stop);
    let silence: NodeJS.Timeout | undefined;
    const heard = () => {
      clearTimeout(silence);
      const message = 'A step of the work took too long and was ended.';
      silence = setTimeout(() => retire(thread, message), silenceMs);
    };
    // Before the grace begins to run.
    options.signal.addEventListener('abort', stop, { once: true });
    thread.job = job;
    heard();
    try {
      const call = thread.peer.call(method, { request, stop: job.stop } as ThreadMethods[K]['params'], {
        onProgress: (progress) => {
          heard();
          if ('stage' in progress) options.onProgress(progress);
          else options.onPicture?.(progress);
        },
      });
      return (await unlessDeaf(thread, job, call)) as JobMethods[K]['result'];
    } catch (error) {
      await thread.ended;
      throw options.signal.aborted ? new CancelledError() : error;
    } finally {
      clearTimeout(silence);
      options.signal.removeEventListener('abort', stop);
      thread.job = null;
      await allBack(job, stop);
    }
  }

  /** A job that ends early leaves threads at work for it: none of them outlives it. */
  async function allBack(job: RunningJob, stop: () => void): Promise<void> {
    for (const offer of offers.filter((one) => one.job === job)) withdraw(offer);
    if (job.helping.size === 0) return;
    stop();
    const grace = setTimeout(() => {
      for (const thread of alive) {
        if (thread.helps?.job === job) retire(thread, 'The work it helped with has ended.');
      }
    }, graceMs);
    await Promise.allSettled(job.helping);
    clearTimeout(grace);
  }

  return {
    async run(method, request, options) {
      // Every part of a kit listens to the one signal of its check.
      setMaxListeners(0, options.signal);
      const { path } = request;
      const { thread, free } = await untilStarted(path, options);
      try {
        if (closed) throw new RpcError({ code: 'engine-stopped', message: 'The engine is shutting down.' });
        return await runOn(thread, method, request, options);
      } finally {
        free();
        busyPaths.delete(path);
        release(thread);
      }
    },
    async close() {
      closed = true;
      await Promise.all([...alive].map((thread) => thread.worker.terminate()));
    },
  };
}
