import { CancelledError } from '../core/interrupter.ts';

/**
 * One job at a time for each name. A check and a view of one part, sent at the same edit, would
 * otherwise measure it twice side by side; in turn, the second finds the first one's stages kept.
 */
export interface Turns {
  /** Resolves when nobody else holds `name`, with a function that hands it on. */
  take(name: string, signal: AbortSignal): Promise<() => void>;
}

export function openTurns(): Turns {
  /** Those who wait, by name; a name that is held has an entry, if only an empty one. */
  const queues = new Map<string, (() => void)[]>();

  function handOn(name: string): void {
    const next = queues.get(name)?.shift();
    if (next === undefined) queues.delete(name);
    else next();
  }

  return {
    async take(name, signal) {
      if (signal.aborted) throw new CancelledError();
      const queue = queues.get(name);
      if (queue === undefined) queues.set(name, []);
      else await turnIn(queue, signal);
      return () => handOn(name);
    },
  };
}

function turnIn(queue: (() => void)[], signal: AbortSignal): Promise<void> {
  return new Promise((resolve, reject) => {
    const turn = () => {
      signal.removeEventListener('abort', leave);
      resolve();
    };
    const leave = () => {
      queue.splice(queue.indexOf(turn), 1);
      reject(new CancelledError());
    };
    signal.addEventListener('abort', leave, { once: true });
    queue.push(turn);
  });
}
