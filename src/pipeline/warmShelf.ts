/**
 * Results of stages that the engine process holds in memory for the parts worked on lately, as
 * blocks of shared memory (`packShared`), by stage and key. May forget anything at any time.
 */
export interface WarmShelf {
  take(name: string): Promise<SharedArrayBuffer | null>;
  put(name: string, block: SharedArrayBuffer): void;
}

export const noShelf: WarmShelf = {
  take: async () => null,
  put: () => {},
};
