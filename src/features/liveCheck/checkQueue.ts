/**
 * Runs one job at a time, each about a key. Asking again for a key replaces what waits for it and
 * aborts what runs for it; an urgent ask also sends another key's running job back into the queue.
 */
export class CheckQueue<K> {
  readonly #run: (key: K, signal: AbortSignal) => Promise<void>;
  readonly #waiting = new Set<K>();
  #running: { readonly key: K; readonly controller: AbortController } | null = null;
  #disposed = false;

  constructor(run: (key: K, signal: AbortSignal) => Promise<void>) {
    this.#run = run;
  }

  get idle(): boolean {
    return this.#running === null && this.#waiting.size === 0;
  }

  waits(key: K): boolean {
    return this.#waiting.has(key);
  }

  ask(key: K, urgent: boolean): void {
    const current = this.#running;
    if (current !== null && (current.key === key || urgent)) {
      current.controller.abort();
      if (current.key !== key) this.#waiting.add(current.key);
    }
    this.#enqueue(key, urgent);
    this.#next();
  }

  /** Aborts the key's running job and forgets its waiting one. */
  drop(key: K): void {
    this.#waiting.delete(key);
    if (this.#running?.key === key) this.#running.controller.abort();
  }

  dropAll(): void {
    this.#waiting.clear();
    this.#running?.controller.abort();
  }

  dispose(): void {
    this.#disposed = true;
    this.dropAll();
  }

  #enqueue(key: K, first: boolean): void {
    const others = [...this.#waiting].filter((waiting) => waiting !== key);
    this.#waiting.clear();
    for (const waiting of first ? [key, ...others] : [...others, key]) this.#waiting.add(waiting);
  }

  #next(): void {
    const [key] = this.#waiting;
    if (this.#running !== null || this.#disposed || key === undefined) return;
    this.#waiting.delete(key);
    const controller = new AbortController();
    this.#running = { key, controller };
    void this.#run(key, controller.signal).finally(() => {
      this.#running = null;
      this.#next();
    });
  }
}
