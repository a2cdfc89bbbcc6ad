import type { Later, Turn } from './hands.ts';

/** Work that idle threads may begin before it is needed. */
export interface Ahead<T> {
  /** Resolves when it is offered to them, or known already. A failure is told to whoever needs it. */
  begin(): Promise<void>;
  get(): Promise<T>;
}

/**
 * `make` is called once; it calls `offer` when it has work to offer, and gets how: at that turn until
 * somebody waits for the result, or, when somebody does already, like any other work.
 */
export function ahead<T>(turn: Turn, make: (offer: () => Later | undefined) => Promise<T>): Ahead<T> {
  const [offered, tellOffered] = signal();
  const [needed, tellNeeded] = signal();
  let isNeeded = false;
  let made: Promise<T> | null = null;
  const start = (): Promise<T> => {
    made ??= make(() => {
      tellOffered();
      return isNeeded ? undefined : { needed, turn };
    });
    return made;
  };
  const ignore = () => {};
  return {
    begin: () => Promise.race([offered, start().then(ignore, ignore)]),
    get: () => {
      isNeeded = true;
      tellNeeded();
      return start();
    },
  };
}

function signal(): [Promise<void>, () => void] {
  let give = () => {};
  const given = new Promise<void>((resolve) => {
    give = resolve;
  });
  return [given, () => give()];
}
