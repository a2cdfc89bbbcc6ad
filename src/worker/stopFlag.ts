/** Int32 at index 0, shared: non-zero means stop. A busy thread cannot hear a message. */
export type StopFlag = SharedArrayBuffer;

export const openStopFlag = (): StopFlag => new SharedArrayBuffer(4);

export function setStopped(flag: StopFlag): void {
  Atomics.store(new Int32Array(flag), 0, 1);
}

export const isStopped = (flag: StopFlag): boolean => Atomics.load(new Int32Array(flag), 0) !== 0;
