import { CancelledError } from '../core/interrupter.ts';

/**
 * One bound on the memory of everything that runs at once. A job takes its estimate before it
 * starts and waits while others hold too much; a job larger than the whole budget runs alone.
 */
export interface MemoryBudget {
  /** Resolves with a function that gives the bytes back. */
  take(bytes: number, signal: AbortSignal): Promise<() => void>;
}

export function openMemoryBudget(totalBytes: number): MemoryBudget {
  let used = 0;
  const queue: { readonly bytes: number; readonly start: () => void }[] = [];

  const fits = (bytes: number): boolean => used === 0 || used + bytes <= totalBytes;

  function admit(): void {
    while (queue.length > 0 && fits(queue[0]!.bytes)) {
      const next = queue.shift()!;
      used += next.bytes;
      next.start();
    }
  }

  function giveBack(bytes: number): () => void {
    let given = false;
    return () => {
      if (given) return;
      given = true;
      used -= bytes;
      admit();
    };
  }

  return {
    take(bytes, signal) {
      return new Promise((resolve, reject) => {
        const entry = {
          bytes,
          start: () => {
            signal.removeEventListener('abort', leave);
            resolve(giveBack(bytes));
          },
        };
        const leave = () => {
          const at = queue.indexOf(entry);
          if (at >= 0) queue.splice(at, 1);
          reject(new CancelledError());
        };
        if (signal.aborted) return reject(new CancelledError());
        signal.addEventListener('abort', leave, { once: true });
        queue.push(entry);
        admit();
      });
    },
  };
}
