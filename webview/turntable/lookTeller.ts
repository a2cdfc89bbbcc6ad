import type { Look } from '../../src/protocol/look.ts';

/** Tells changes of the look, of each kind the latest only: the next one goes when the last is answered. */
export function createLookTeller(send: (look: Look) => Promise<unknown>): (look: Look) => void {
  const waiting = new Map<Look['kind'], Look>();
  let sending = false;

  async function sendAll(): Promise<void> {
    sending = true;
    for (let next = first(); next !== undefined; next = first()) {
      waiting.delete(next.kind);
      // The next change tells where things stand, whatever became of this one.
      await send(next).catch(() => {});
    }
    sending = false;
  }

  const first = (): Look | undefined => waiting.values().next().value;

  return (look) => {
    waiting.set(look.kind, look);
    if (!sending) void sendAll();
  };
}
