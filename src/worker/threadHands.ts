import { CancelledError, type Interrupter } from '../core/interrupter.ts';
import type { Hands, Tasks } from '../pipeline/hands.ts';
import { type DonePart, doParts, field, openTeam, partsLeft, type Team } from './team.ts';

/** How often a thread that waits for others looks whether they go on. */
const lookEveryMs = 25;

/**
 * The hands of a job on a thread of the pool. `lend` offers the task to threads that are or become idle, and
 * resolves with what they have done when they are back; where they had no part in it, it may
 * stay open until the job ends. `stopped` tells whether the job is cancelled.
 */
export function threadHands<T extends Tasks>(
  tasks: T,
  lend: (team: Team) => Promise<readonly DonePart[]>,
  stopped: () => boolean,
): Hands<T> {
  return {
    async share(task, parts, interrupter, later) {
      const team = openTeam(task, parts, later?.turn);
      const state = new Int32Array(team.fields);
      const lent = parts.length > 1 || later !== undefined ? lend(team) : Promise.resolve([]);
      // Its failure is heard below, when a part of this thread's own is done or fails first.
      const settled = lent.then(
        () => {},
        () => void Atomics.store(state, field.failed, 1),
      );
      if (later !== undefined) {
        await Promise.race([later.needed, settled]);
        // The threads that were lent are back, or the job has ended: what they left may never be asked for.
        if (partsLeft(team) > 0) await later.needed;
      }
      const values = new Array(parts.length);
      const own = await doParts(tasks, team, interrupter, () => false).catch(async (error: unknown) => {
        // When another thread has failed, its error tells more than this thread's being stopped.
        if (Atomics.exchange(state, field.failed, 1) !== 0) await lent;
        throw error;
      });
      const others =
        own.length === parts.length ? [] : await awaited(lent, state, parts.length, interrupter, stopped);
      for (const { index, value } of [...own, ...others]) values[index] = value;
      return values;
    },
  };
}

/** Waits for the threads that were lent, as long as they or the pool answer; reports their progress. */
async function awaited(
  lent: Promise<readonly DonePart[]>,
  state: Int32Array,
  parts: number,
  interrupter: Interrupter,
  stopped: () => boolean,
): Promise<readonly DonePart[]> {
  let beat = -1;
  let timer: NodeJS.Timeout | undefined;
  const stop = new Promise<never>((_, reject) => {
    const look = (): void => {
      if (stopped()) throw new CancelledError();
      const now = Atomics.load(state, field.beat);
      // A thread that hangs must not seem to go on: silence is how the pool finds out.
      if (now !== beat) interrupter(Atomics.load(state, field.done) / parts);
      beat = now;
    };
    timer = setInterval(() => {
      try {
        look();
      } catch (error) {
        reject(error);
      }
    }, lookEveryMs);
  });
  try {
    return await Promise.race([lent, stop]);
  } finally {
    clearInterval(timer);
  }
}
