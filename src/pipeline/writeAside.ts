import { randomBytes } from 'node:crypto';
import { open, rename, rm } from 'node:fs/promises';

/**
 * Writes pieces to a neighbour of `file` and renames it into place: a reader sees all or nothing.
 * `durable` waits for the disk first; a cache can do without.
 */
export async function writeAside(
  file: string,
  pieces: readonly Uint8Array[],
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
