import { setMaxListeners } from 'node:events';
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { CancelledError } from '../core/interrupter.ts';
import { connect, type Peer, RpcError, type RpcMessage, type Transport } from '../protocol/rpc.ts';
import type { MemoryBudget } from './memoryBudget.ts';
import type { StageProgress, ThreadMethods } from './threadApi.ts';
import { openTurns } from './turns.ts';

export interface JobOptions {
  /** Estimated peak, against the engine's one budget. */
  readonly bytes: number;
  /** Somebody looks at a blank picture: goes before what waits already. */
  readonly urgent: boolean;
  readonly signal: AbortSignal;
  readonly onProgress: (progress: StageProgress) => void;
}

export interface WorkerPool {
  run<K extends keyof ThreadMethods & string>(
    method: K,
    request: ThreadMethods[K]['params']['request'],
    options: JobOptions,
  ): Promise<ThreadMethods[K]['result']>;
  close(): Promise<void>;
}

/** A thread that does not look at its stop flag for this long is ended; WASM cannot look. */
const graceMs = 80;
/** Silence after which a job counts as hung: every stage reports progress far more often. */
const silenceMs = 5 * 60_000;

interface Thread {
  readonly worker: Worker;
  readonly peer: Peer<ThreadMethods>;
  /** Settles when the thread is gone; null while it is meant to live. */
  ended: Promise<number> | null;
}

/** Runs jobs on worker threads, one at a time each and one at a time for each file, within the memory budget. */
export function openWorkerPool(
  script: URL,
  budget: MemoryBudget,
  size = Math.max(1, availableParallelism()),
): WorkerPool {
  const idle: Thread[] = [];
  const waiting: ((thread: Thread) => void)[] = [];
  const alive = new Set<Thread>();
  const turns = openTurns();
  let closed = false;

  function spawn(): Thread {
    const worker = new Worker(script);
    const thread: Thread = {
      worker,
      peer: connect<ThreadMethods, Record<never, never>>(threadTransport(worker), {}),
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

  function acquire({ signal, urgent }: JobOptions): Promise<Thread> {
    if (signal.aborted) return Promise.reject(new CancelledError());
    const thread = idle.pop();
    if (thread !== undefined) return Promise.resolve(thread);
    if (alive.size < size) return Promise.resolve(spawn());
    return new Promise((resolve, reject) => {
      const turn = (free: Thread) => {
        signal.removeEventListener('abort', leave);
        resolve(free);
      };
      const leave = () => {
        waiting.splice(waiting.indexOf(turn), 1);
        reject(new CancelledError());
      };
      signal.addEventListener('abort', leave, { once: true });
      if (urgent) waiting.unshift(turn);
      else waiting.push(turn);
    });
  }

  function release(thread: Thread): void {
    const next = waiting.shift();
    if (next === undefined) {
      if (alive.has(thread)) idle.push(thread);
    } else {
      next(alive.has(thread) ? thread : spawn());
    }
  }

  async function runOn<K extends keyof ThreadMethods & string>(
    thread: Thread,
    method: K,
    request: ThreadMethods[K]['params']['request'],
    options: JobOptions,
  ): Promise<ThreadMethods[K]['result']> {
    const stop = new SharedArrayBuffer(4);
    let timer: NodeJS.Timeout | undefined;
    const endAfter = (ms: number, message: string) => {
      clearTimeout(timer);
      timer = setTimeout(() => retire(thread, message), ms);
    };
    const cancel = () => {
      Atomics.store(new Int32Array(stop), 0, 1);
      endAfter(graceMs, 'The work was cancelled.');
    };
    const heard = () => {
      if (!options.signal.aborted) endAfter(silenceMs, 'A step of the work took too long and was ended.');
    };
    options.signal.addEventListener('abort', cancel, { once: true });
    heard();
    try {
      return await thread.peer.call(method, { request, stop } as ThreadMethods[K]['params'], {
        onProgress: (progress) => {
          heard();
          options.onProgress(progress);
        },
      });
    } catch (error) {
      await thread.ended;
      throw options.signal.aborted ? new CancelledError() : error;
    } finally {
      clearTimeout(timer);
      options.signal.removeEventListener('abort', cancel);
    }
  }

  return {
    async run(method, request, options) {
      // Every part of a kit listens to the one signal of its check.
      setMaxListeners(0, options.signal);
      // The thread first: only what is about to run holds its file and memory of the budget.
      const thread = await acquire(options);
      try {
        const handOn = await turns.take(request.path, options.signal);
        try {
          const free = await budget.take(options.bytes, options.signal);
          try {
            if (closed)
              throw new RpcError({ code: 'engine-stopped', message: 'The engine is shutting down.' });
            return await runOn(thread, method, request, options);
          } finally {
            free();
          }
        } finally {
          handOn();
        }
      } finally {
        release(thread);
      }
    },
    async close() {
      closed = true;
      await Promise.all([...alive].map((thread) => thread.worker.terminate()));
    },
  };
}

function threadTransport(worker: Worker): Transport {
  return {
    send: (message) => worker.postMessage(message),
    listen(listener) {
      worker.on('message', listener as (message: RpcMessage) => void);
      return () => worker.off('message', listener);
    },
  };
}
