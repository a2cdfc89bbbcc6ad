/** Work that idle threads may begin before it is needed. */
export interface Ahead<T> {
  /** Resolves when it is offered to them, or known already. A failure is told to whoever needs it. */
  begin(): Promise<void>;
  get(): Promise<T>;
}

/** `make` is called once; it calls `needed` when it offers its work, which resolves when somebody waits for the result. */
export function ahead<T>(make: (needed: () => Promise<void>) => Promise<T>): Ahead<T> {
  const [offered, offer] = signal();
  const [wanted, want] = signal();
  let made: Promise<T> | null = null;
  const start = (): Promise<T> => {
    made ??= make(() => {
      offer();
      return wanted;
    });
    return made;
  };
  const ignore = () => {};
  return {
    begin: () => Promise.race([offered, start().then(ignore, ignore)]),
    get: () => {
      want();
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
