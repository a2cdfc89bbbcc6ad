import { randomBytes } from 'node:crypto';
import { open, readdir, rename, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';

/**
 * Writes pieces to a neighbour of `file` and renames it into place: a reader sees all or nothing.
 * A piece is written before the next is asked for. `durable` waits for the disk first; a cache can do without.
 */
export async function writeAside(
  file: string,
  pieces: Iterable<Uint8Array>,
  durable: boolean,
): Promise<void> {
  const aside = `${file}.${process.pid}-${randomBytes(4).toString('hex')}.part`;
  try {
    const handle = await open(aside, 'wx');
    try {
      for (const piece of pieces) await handle.writeFile(piece);
      if (durable) await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(aside, file);
  } catch (error) {
    await rm(aside, { force: true });
    throw error;
  }
}

/** Removes what a thread of this process that was ended in the midst of writing `file` left beside it. */
export function removeAsides(file: string): Promise<void> {
  return removeAll(dirname(file), (name) => name.startsWith(`${basename(file)}.`));
}

/** Removes whatever threads of this process were writing into a folder: those that still do write in vain. */
export function removeAllAsides(folder: string): Promise<void> {
  return removeAll(folder, () => true);
}

async function removeAll(folder: string, isMeant: (name: string) => boolean): Promise<void> {
  const names = await readdir(folder).catch(() => []);
  const own = names.filter(
    (name) => name.includes(`.${process.pid}-`) && name.endsWith('.part') && isMeant(name),
  );
  await Promise.all(own.map((name) => rm(join(folder, name), { force: true })));
}
