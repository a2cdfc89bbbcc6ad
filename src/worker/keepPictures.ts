import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { writeAside } from '../pipeline/writeAside.ts';
import { RpcError } from '../protocol/rpc.ts';

/**
 * Pictures of a part's poses, the first of it as it is: written into a folder, each aside and renamed, which gives their
 * absolute paths; without one, as base64. Fails `file-unwritable`.
 */
export async function keepPictures(
  part: string,
  pictures: readonly Uint8Array[],
  folder: string | null,
): Promise<string[]> {
  if (folder === null) return pictures.map((png) => Buffer.from(png).toString('base64'));
  try {
    await mkdir(folder, { recursive: true });
    const files = pictures.map((_, n) => join(folder, n === 0 ? `${part}-now.png` : `${part}-pose-${n}.png`));
    for (const [n, file] of files.entries()) await writeAside(file, [pictures[n]!], true);
    return files;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    throw new RpcError({
      code: 'file-unwritable',
      message: `${folder} cannot be written (${code}). Check the folder's permissions and the free space.`,
    });
  }
}
