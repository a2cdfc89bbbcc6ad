import type { Disposable } from 'vscode';

/** Holds disposables and disposes every one, in reverse order, even when one of them throws. */
export class Disposables implements Disposable {
  readonly #items: Disposable[] = [];
  #disposed = false;

  add<T extends Disposable>(item: T): T {
    if (this.#disposed) item.dispose();
    else this.#items.push(item);
    return item;
  }

  get disposed(): boolean {
    return this.#disposed;
  }

  dispose(): void {
    this.#disposed = true;
    const failures: unknown[] = [];
    for (const item of this.#items.splice(0).reverse()) {
      try {
        item.dispose();
      } catch (error) {
        failures.push(error);
      }
    }
    if (failures.length > 0) throw failures[0];
  }
}
