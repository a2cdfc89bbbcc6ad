import { readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { type FailureCode, failure, type Result, success } from '../core/result.ts';

const limitBytes = 16 * 2 ** 20;

/** The text of a file of the kit folder that need not be there; null where it is not. Fails with that code. */
export async function readKitText(
  kitDir: string,
  name: string,
  code: FailureCode,
  advice: string,
): Promise<Result<string | null>> {
  const path = join(kitDir, name);
  try {
    const info = await stat(path);
    if (!info.isFile() || info.size > limitBytes)
      return failure(code, `${path} is no file of at most ${limitBytes} bytes. ${advice}`);
    return success(await readFile(path, 'utf8'));
  } catch (error) {
    const { code: reason } = error as NodeJS.ErrnoException;
    if (reason === undefined) throw error;
    if (reason === 'ENOENT') return success(null);
    return failure(code, `${path} cannot be read (${reason}).`);
  }
}
