import type { Interrupter } from '../core/interrupter.ts';
import type { SharedTasks } from './sharedTasks.ts';

/** Pure functions by name, of plain data and typed arrays, that any thread can run. */
export type Tasks = Readonly<Record<string, (params: never, interrupter: Interrupter) => unknown>>;
export type TaskParams<T extends Tasks, K extends keyof T> = Parameters<T[K]>[0];
export type TaskResult<T extends Tasks, K extends keyof T> = Awaited<ReturnType<T[K]>>;

/** How work is offered that nobody waits for yet. */
export interface Later {
  /** Resolves when somebody does: until then the job's own thread takes no part. */
  readonly needed: Promise<unknown>;
  readonly turn: Turn;
}

/**
 * When other threads take it. `at once`: those that idle, now. `first`, `last`: as soon as one comes free
 * or something else is offered at once, for which those that idle are kept; before or after that.
 */
export type Turn = 'at once' | 'first' | 'last';

/**
 * The hands a job can put to its work: its own, and those of threads that are idle. Results come in
 * the order of the parts and do not depend on who ran what, so the caller must cut its work in the
 * same parts whatever the number of threads.
 */
export interface Hands<T extends Tasks = SharedTasks> {
  /**
   * Runs the task on every part. Arrays on a SharedArrayBuffer reach another thread as they are,
   * others are copied; arrays of the results are moved. Rejects when a part throws or a thread ends.
   */
  share<K extends keyof T & string>(
    task: K,
    parts: readonly TaskParams<T, K>[],
    interrupter: Interrupter,
    later?: Later,
  ): Promise<TaskResult<T, K>[]>;
}
