import { type Result, success } from '../core/result.ts';
import { packShared, unpackContainer } from './container.ts';
import type { StageCache } from './stageCache.ts';
import type { WarmShelf } from './warmShelf.ts';

/** Where a result is kept: on disk too, or in memory alone because making it again costs less than reading it. */
export type Keep = 'disk' | 'memory';

/**
 * Results of stages, in memory and on disk. Whatever way a result comes, it is unpacked from the
 * same block, so that a kept one and a fresh one are the same to the bit, and its arrays stand on
 * shared memory: read only, for any thread.
 */
export interface StageStore {
  /** The result, kept or else computed and then kept. */
  get<T>(
    stage: string,
    key: string,
    keep: Keep,
    compute: () => Result<T> | Promise<Result<T>>,
  ): Promise<Result<T>>;
  /** Resolves when everything is on disk; writing goes on beside the work until then. */
  written(): Promise<void>;
}

/** `readable` false keeps but never reads (`--no-cache`); `breathe` may throw where a result is packed. */
export function openStageStore(
  disk: StageCache,
  shelf: WarmShelf,
  readable: boolean,
  breathe: () => void,
): StageStore {
  const writing: Promise<void>[] = [];

  async function kept(stage: string, key: string, keep: Keep): Promise<unknown> {
    if (!readable) return null;
    const warm = await shelf.take(`${stage}-${key}`);
    if (warm !== null) return unpackContainer(new Uint8Array(warm));
    if (keep === 'memory') return null;
    const block = await disk.readBlock(stage, key);
    const value = block === null ? null : unpackContainer(new Uint8Array(block));
    if (block !== null && value !== null) shelf.put(`${stage}-${key}`, block);
    return value;
  }

  return {
    async get(stage, key, keep, compute) {
      const known = await kept(stage, key, keep);
      if (known !== null) return success(known as never);
      const made = await compute();
      if (!made.ok) return made;
      const block = packShared(made.value, breathe);
      shelf.put(`${stage}-${key}`, block);
      if (keep === 'disk') writing.push(disk.writeBlock(stage, key, block));
      return success(unpackContainer(new Uint8Array(block)) as never);
    },
    written: async () => void (await Promise.all(writing)),
  };
}
