/** Thrown by an interrupter inside a long loop; the one exception that is not a defect. */
export class CancelledError extends Error {
  constructor() {
    super('cancelled');
    this.name = 'CancelledError';
  }
}

/**
 * Handed to every long loop, which calls it every few milliseconds with the fraction done (0 to 1).
 * It reports progress and throws `CancelledError` when the work is no longer wanted.
 */
export type Interrupter = (fraction: number) => void;

/** For callers that can neither cancel nor show progress (tests, tiny inputs). */
export const uninterrupted: Interrupter = () => {};

/** Maps a sub-task's 0…1 onto [from, to] of its parent's. */
export function portion(parent: Interrupter, from: number, to: number): Interrupter {
  return (fraction) => parent(from + (to - from) * fraction);
}
