import { mkdir, realpath } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { failure, type Result, success } from '../core/result.ts';
import { PackageFull } from './pack3mf.ts';

class SourceInTheWay extends Error {}

/** Makes the folder and lets files be written into it. What the disk refuses, and what must not be written, are failures. */
export async function intoFolder<T>(out: string, write: () => Promise<T>): Promise<Result<T>> {
  try {
    await mkdir(out, { recursive: true });
    return success(await write());
  } catch (error) {
    if (error instanceof SourceInTheWay) return failure('option-invalid', error.message);
    if (error instanceof PackageFull) return failure('file-too-large', error.message);
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    return failure(
      'file-unwritable',
      `${out} cannot be written (${code}). Check the folder's permissions and the free space.`,
    );
  }
}

/** Throws, for `intoFolder` to tell, when the file is one of the sources, links and letter case of the disk included. */
export async function refuseSource(file: string, sources: readonly string[]): Promise<void> {
  const target = await realFile(file);
  const real = await Promise.all(sources.map(realFile));
  if (!real.includes(target)) return;
  throw new SourceInTheWay(
    `${file} is an STL that the kit is made from, which is never overwritten. Choose another --out.`,
  );
}

/** Without links; of what is not there yet, as far as it is there. */
async function realFile(path: string): Promise<string> {
  const inFolder = async () => join(await realpath(dirname(path)), basename(path));
  return realpath(path)
    .catch(inFolder)
    .catch(() => path);
}
