import { createHash } from 'node:crypto';
import { realpath } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { failure } from '../core/result.ts';
import type { WrittenFile } from '../protocol/engineApi.ts';
import { writeAside } from './writeAside.ts';

/** The file to be written is one of the sources. */
export class SourceInTheWay extends Error {}

/**
 * Writes a file aside, renames it, and sums it up; `count` hears how many bytes there are before each piece. Throws
 * `SourceInTheWay` where the file is one of the sources (absolute paths), and what the disk refuses.
 */
export async function writeSummed(
  file: string,
  sources: readonly string[],
  pieces: Iterable<Uint8Array>,
  count: (bytes: number) => void = () => {},
): Promise<Pick<WrittenFile, 'file' | 'bytes' | 'sha256'>> {
  if (await isSource(file, sources)) {
    throw new SourceInTheWay(
      `${file} is an STL that the kit is made from, which is never overwritten. Choose another --out.`,
    );
  }
  const sum = createHash('sha256');
  let bytes = 0;
  const counted = function* (): Generator<Uint8Array> {
    for (const piece of pieces) {
      count(bytes);
      sum.update(piece);
      bytes += piece.length;
      yield piece;
    }
  };
  await writeAside(file, counted(), true);
  return { file, bytes, sha256: sum.digest('hex') };
}

/** Why nothing could be written into a folder, where that is its or the disk's fault; everything else is thrown on. */
export function writeFailure(error: unknown, out: string): ReturnType<typeof failure> {
  if (error instanceof SourceInTheWay) return failure('option-invalid', error.message);
  const { code } = error as NodeJS.ErrnoException;
  if (code === undefined) throw error;
  return failure(
    'file-unwritable',
    `${out} cannot be written (${code}). Check the folder's permissions and the free space.`,
  );
}

/** True when the file is one of the sources, links and letter case of the disk included. */
async function isSource(file: string, sources: readonly string[]): Promise<boolean> {
  const target = await realFile(file);
  const real = await Promise.all(sources.map(realFile));
  return real.includes(target);
}

/** Without links; of what is not there yet, as far as it is there. */
async function realFile(path: string): Promise<string> {
  const inFolder = async () => join(await realpath(dirname(path)), basename(path));
  return realpath(path)
    .catch(inFolder)
    .catch(() => path);
}
