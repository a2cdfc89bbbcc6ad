import { createHash } from 'node:crypto';
import { mkdir, readdir, readFile, rm, stat, utimes } from 'node:fs/promises';
import { join } from 'node:path';
import { packContainer, unpackContainer } from './container.ts';
import { writeAside } from './writeAside.ts';

/**
 * Results of stages on disk, in the kit folder's `.kitwright/cache/`. A stage is a pure function of
 * its inputs, so a key made from them names its result for good. A damaged or foreign file is a
 * miss. Writing is aside-and-rename, so two engines may share one folder.
 */
export interface StageCache {
  read(stage: string, key: string): Promise<unknown>;
  write(stage: string, key: string, value: unknown): Promise<void>;
}

/** Everything that is not in the stage's own parameters but would change its result. */
const engineVersion = 'engine-6';

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

/** For `--no-cache` and for files outside a kit folder: computes everything, keeps nothing. */
export const noCache: StageCache = {
  read: async () => null,
  write: async () => {},
};

/** Opens the cache of a kit folder; `readable` false writes but never reads (`--no-cache`). */
export function openStageCache(kitDir: string, readable: boolean, boundBytes = 2 * 2 ** 30): StageCache {
  const folder = join(kitDir, '.kitwright', 'cache');
  return {
    async read(stage, key) {
      if (!readable) return null;
      const file = join(folder, `${stage}-${key}`);
      try {
        const value = unpackContainer(await readFile(file));
        if (value === null) return null;
        const now = new Date();
        await utimes(file, now, now);
        return value;
      } catch {
        return null;
      }
    },
    async write(stage, key, value) {
      try {
        await mkdir(folder, { recursive: true });
        await writeAside(join(folder, `${stage}-${key}`), packContainer(value), false);
        await trim(folder, boundBytes);
      } catch {
        // A cache that cannot be written (read-only or full disk) costs time, never the result.
      }
    },
  };
}

async function trim(folder: string, boundBytes: number): Promise<void> {
  const names = await readdir(folder);
  const entries = await Promise.all(
    names.map(async (name) => {
      const { size, mtimeMs } = await stat(join(folder, name));
      return { name, size, mtimeMs };
    }),
  );
  entries.sort((a, b) => b.mtimeMs - a.mtimeMs || (a.name < b.name ? -1 : 1));
  let total = 0;
  for (const entry of entries) {
    total += entry.size;
    if (total > boundBytes) await rm(join(folder, entry.name), { force: true });
  }
}
