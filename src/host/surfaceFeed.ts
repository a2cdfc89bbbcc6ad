import type { SurfacePiece } from '../protocol/surfacePiece.ts';
import { openSurfaceShelf } from './surfaceShelf.ts';

/**
 * Brings surfaces to a page, one piece on the wire at a time, and again to the next page: one that was hidden has lost
 * everything it was sent.
 */
export class SurfaceFeed {
  readonly #deliver: (piece: SurfacePiece) => Promise<unknown>;
  readonly #failed: (error: unknown) => void;
  readonly #shelf = openSurfaceShelf();
  /** Pieces the page has not got yet. */
  readonly #unsent: SurfacePiece[] = [];
  #keys: readonly string[] = [];
  #listening = false;
  /** The page that pieces are being sent to; a page that went leaves its piece unanswered for ever. */
  #page = 0;
  #sendingTo: number | null = null;

  /** `deliver` settles when the page has the piece. */
  constructor(deliver: (piece: SurfacePiece) => Promise<unknown>, failed: (error: unknown) => void) {
    this.#deliver = deliver;
    this.#failed = failed;
  }

  /** There is a page that listens. */
  get listening(): boolean {
    return this.#listening;
  }

  /** A new page listens: what is kept is sent to it. */
  begin(): void {
    this.#listening = true;
    this.#page++;
    this.#unsent.splice(0, Infinity, ...this.#shelf.pieces());
    void this.#send();
  }

  /** The page is gone. */
  end(): void {
    this.#listening = false;
    this.#unsent.length = 0;
  }

  add(piece: SurfacePiece): void {
    this.#shelf.add(piece);
    if (!this.#listening) return;
    this.#unsent.push(piece);
    void this.#send();
  }

  /**
   * Drops surfaces of other keys; at a change of keys only, since those that are wanted next may be here already.
   * True when any was dropped.
   */
  keepOnly(keys: readonly string[]): boolean {
    if (keys.join() === this.#keys.join()) return false;
    this.#keys = keys;
    const dropped = this.#shelf.keepOnly(keys);
    const wanted = this.#unsent.filter(({ key }) => keys.includes(key));
    this.#unsent.splice(0, Infinity, ...wanted);
    return dropped;
  }

  /** Keys of the surfaces that need not be sent here again. */
  whole(): readonly string[] {
    return this.#shelf.whole();
  }

  async #send(): Promise<void> {
    const page = this.#page;
    if (this.#sendingTo === page) return;
    this.#sendingTo = page;
    try {
      while (this.#page === page && this.#unsent.length > 0) await this.#deliver(this.#unsent.shift()!);
    } catch (error) {
      this.#failed(error);
    } finally {
      if (this.#sendingTo === page) this.#sendingTo = null;
    }
  }
}
