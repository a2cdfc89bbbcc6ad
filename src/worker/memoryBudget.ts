/**
 * One bound on the memory of everything that runs at once. A job takes its estimate before it
 * starts; a job larger than the whole budget runs alone. What no job has taken may hold results
 * kept for later (`warmStore.ts`).
 */
export interface MemoryBudget {
  readonly totalBytes: number;
  /** A function that gives the bytes back, once; null while others hold too much. */
  take(bytes: number): (() => void) | null;
  /** Bytes that no job has taken. */
  left(): number;
  /** Called whenever bytes have been given back: somebody who was refused may try again. */
  onGivenBack(listener: () => void): void;
}

export function openMemoryBudget(totalBytes: number): MemoryBudget {
  let used = 0;
  let jobs = 0;
  const listeners: (() => void)[] = [];
  return {
    totalBytes,
    take(bytes) {
      if (jobs > 0 && used + bytes > totalBytes) return null;
      used += bytes;
      jobs++;
      let given = false;
      return () => {
        if (given) return;
        given = true;
        used -= bytes;
        jobs--;
        for (const listener of listeners) listener();
      };
    },
    left: () => Math.max(0, totalBytes - used),
    onGivenBack: (listener) => void listeners.push(listener),
  };
}
