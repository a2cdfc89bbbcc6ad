import { CancelledError, type Interrupter } from '../core/interrupter.ts';
import type { Tasks, Turn } from '../pipeline/hands.ts';

/** A task cut in parts, on which several threads work at once. Structured-clone data. */
export interface Team {
  readonly task: string;
  readonly parts: readonly unknown[];
  readonly turn: Turn;
  /** Int32 fields that all its threads look at (`field`). A busy thread cannot hear a message. */
  readonly fields: SharedArrayBuffer;
}

/** One part that is done. */
export interface DonePart {
  readonly index: number;
  readonly value: unknown;
}

export const field = {
  /** The first part that nobody has taken. */
  next: 0,
  /** Parts done. */
  done: 1,
  /** Non-zero: threads that were lent take no further part; others wait for them. */
  recalled: 2,
  /** Non-zero: the task has failed somewhere, so the rest is not wanted. */
  failed: 3,
  /** Counts the signs of life of the threads that were lent. */
  beat: 4,
} as const;

export function openTeam(task: string, parts: readonly unknown[], turn: Turn = 'at once'): Team {
  return { task, parts, turn, fields: new SharedArrayBuffer(4 * Object.keys(field).length) };
}

/** How many parts of the task nobody has taken yet. */
export function partsLeft({ parts, fields }: Team): number {
  return Math.max(0, parts.length - Atomics.load(new Int32Array(fields), field.next));
}

/** Takes parts of the task, one after the other, until none is left or `leaves` says so. */
export async function doParts(
  tasks: Tasks,
  { task, parts, fields }: Team,
  interrupter: Interrupter,
  leaves: () => boolean,
): Promise<DonePart[]> {
  const run = Object.hasOwn(tasks, task) ? tasks[task] : undefined;
  if (run === undefined) throw new Error(`there is no task ${task}`);
  const state = new Int32Array(fields);
  const done: DonePart[] = [];
  const lookOut: Interrupter = (fraction) => {
    if (Atomics.load(state, field.failed) !== 0) throw new CancelledError();
    interrupter((Atomics.load(state, field.done) + fraction) / parts.length);
  };
  while (!leaves()) {
    const index = Atomics.add(state, field.next, 1);
    if (index >= parts.length) break;
    done.push({ index, value: await run(parts[index] as never, lookOut) });
    Atomics.add(state, field.done, 1);
  }
  return done;
}
