import { CancelledError } from '../core/interrupter.ts';
import type { Tasks } from '../pipeline/hands.ts';
import { isStopped } from './stopFlag.ts';
import { type DonePart, doParts, field } from './team.ts';
import type { HelpRequest } from './threadApi.ts';

/** Does parts of another thread's task until none is left, the job ends or the pool wants this thread back. */
export function helpWith(tasks: Tasks, { team, stop }: HelpRequest): Promise<DonePart[]> {
  const state = new Int32Array(team.fields);
  const lookOut = (): void => {
    Atomics.add(state, field.beat, 1);
    if (isStopped(stop)) throw new CancelledError();
  };
  return doParts(tasks, team, lookOut, () => Atomics.load(state, field.recalled) !== 0);
}
