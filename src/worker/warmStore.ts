/**
 * Blocks of shared memory by name: results of stages of the parts worked on lately. The one used
 * longest ago goes first when they are more than `limit` allows at the time.
 */
export interface WarmStore {
  take(name: string): SharedArrayBuffer | null;
  put(name: string, block: SharedArrayBuffer): void;
  /** Lets go of what is beyond the limit; to be called when the limit may have sunk. */
  trim(): void;
}

export function openWarmStore(limit: () => number): WarmStore {
  /** In the order of use, the latest last. */
  const blocks = new Map<string, SharedArrayBuffer>();
  let bytes = 0;

  function remove(name: string): SharedArrayBuffer | null {
    const block = blocks.get(name);
    if (block === undefined) return null;
    blocks.delete(name);
    bytes -= block.byteLength;
    return block;
  }

  function add(name: string, block: SharedArrayBuffer): void {
    blocks.set(name, block);
    bytes += block.byteLength;
  }

  function trim(): void {
    const most = limit();
    for (const name of blocks.keys()) {
      if (bytes <= most) return;
      remove(name);
    }
  }

  return {
    take(name) {
      const block = remove(name);
      if (block !== null) add(name, block);
      return block;
    },
    put(name, block) {
      remove(name);
      add(name, block);
      trim();
    },
    trim,
  };
}
