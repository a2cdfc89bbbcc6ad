import { createHash } from 'node:crypto';
import { mkdir, open, readdir, rm, stat, utimes } from 'node:fs/promises';
import { join } from 'node:path';
import { packContainer, unpackContainer } from './container.ts';
import { removeAllAsides, writeAside } from './writeAside.ts';

/**
 * Results of stages on disk, in the kit folder's `.kitwright/cache/`. A stage is a pure function of
 * its inputs, so a key made from them names its result for good. A damaged or foreign file is a
 * miss. Writing is aside-and-rename, so two engines may share one folder.
 */
export interface StageCache {
  /** The value with its arrays on shared memory; null when there is none. */
  read(stage: string, key: string): Promise<unknown>;
  write(stage: string, key: string, value: unknown): Promise<void>;
  /** The same as the block that holds the value (`packShared`). */
  readBlock(stage: string, key: string): Promise<SharedArrayBuffer | null>;
  writeBlock(stage: string, key: string, block: SharedArrayBuffer): Promise<void>;
}

/** Everything that is not in the stage's own parameters but would change its result. */
const engineVersion = 'engine-50';

/** A key from plain data (numbers, strings, arrays, objects in a fixed key order). */
export function stageKey(stage: string, inputs: unknown): string {
  return createHash('sha256')
    .update(engineVersion)
    .update(process.version)
    .update(stage)
    .update(JSON.stringify(inputs))
    .digest('hex')
    .slice(0, 32);
}

/** For files outside a kit folder: keeps nothing. */
export const noCache: StageCache = {
  read: async () => null,
  write: async () => {},
  readBlock: async () => null,
  writeBlock: async () => {},
};

const cacheBytes = 2 * 2 ** 30;
/** The folder is looked over when this part of its bound has been written since: not for every few figures. */
const trimShare = 1 / 64;
/** Bytes written to each folder since this thread looked it over. */
const untrimmed = new Map<string, number>();

const cacheFolder = (kitDir: string): string => join(kitDir, '.kitwright', 'cache');

/** To be called when a thread that may have been writing to the cache was ended. */
export const tidyStageCache = (kitDir: string): Promise<void> => removeAllAsides(cacheFolder(kitDir));

/** Opens the cache of a kit folder; `readable` false writes but never reads (`--no-cache`). */
export function openStageCache(kitDir: string, readable: boolean, boundBytes = cacheBytes): StageCache {
  const folder = cacheFolder(kitDir);

  async function readBlock(stage: string, key: string): Promise<SharedArrayBuffer | null> {
    if (!readable) return null;
    const file = join(folder, `${stage}-${key}`);
    try {
      const block = await readShared(file);
      const now = new Date();
      await utimes(file, now, now);
      return block;
    } catch {
      return null;
    }
  }

  async function writePieces(stage: string, key: string, pieces: readonly Uint8Array[]): Promise<void> {
    try {
      await mkdir(folder, { recursive: true });
      await writeAside(join(folder, `${stage}-${key}`), pieces, false);
      const bytes = pieces.reduce((sum, { length }) => sum + length, untrimmed.get(folder) ?? 0);
      const due = bytes > boundBytes * trimShare;
      untrimmed.set(folder, due ? 0 : bytes);
      if (due) await trim(folder, boundBytes);
    } catch {
      // A cache that cannot be written (read-only or full disk) costs time, never the result.
    }
  }

  return {
    readBlock,
    async read(stage, key) {
      const block = await readBlock(stage, key);
      return block === null ? null : unpackContainer(new Uint8Array(block));
    },
    write: (stage, key, value) => writePieces(stage, key, packContainer(value)),
    writeBlock: (stage, key, block) => writePieces(stage, key, [new Uint8Array(block)]),
  };
}

async function readShared(file: string): Promise<SharedArrayBuffer> {
  const handle = await open(file, 'r');
  try {
    const { size } = await handle.stat();
    const block = new SharedArrayBuffer(size);
    const bytes = new Uint8Array(block);
    for (let filled = 0; filled < size; ) {
      const { bytesRead } = await handle.read(bytes, filled, size - filled, filled);
      if (bytesRead === 0) throw new Error('the file ended early');
      filled += bytesRead;
    }
    return block;
  } finally {
    await handle.close();
  }
}

/** Entries up to this size are facts and the like: what saves the most for the least. */
const smallBytes = 4 * 2 ** 20;
/** Part of the bound that large entries leave to the small ones. */
const smallShare = 1 / 16;

/** Removes the entries used longest ago. Small ones go only when they alone are too many, however old. */
async function trim(folder: string, boundBytes: number): Promise<void> {
  const names = await readdir(folder);
  const entries = await Promise.all(
    names.map(async (name) => {
      const { size, mtimeMs } = await stat(join(folder, name));
      return { name, size, mtimeMs };
    }),
  );
  entries.sort((a, b) => b.mtimeMs - a.mtimeMs || (a.name < b.name ? -1 : 1));
  const small = entries.filter(({ size }) => size <= smallBytes);
  const large = entries.filter(({ size }) => size > smallBytes);
  const kept = await removeBeyond(folder, small, boundBytes);
  await removeBeyond(folder, large, boundBytes - Math.max(kept, boundBytes * smallShare));
}

async function removeBeyond(
  folder: string,
  entries: readonly { readonly name: string; readonly size: number }[],
  boundBytes: number,
): Promise<number> {
  let kept = 0;
  for (const { name, size } of entries) {
    if (kept + size > boundBytes) await rm(join(folder, name), { force: true });
    else kept += size;
  }
  return kept;
}
