import { readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { type FailureCode, failure, type Result, success } from '../core/result.ts';

const limitBytes = 16 * 2 ** 20;
/** What it cannot read must not be written back. A mark at the start stays with the text. */
const utf8 = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

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
    return success(utf8.decode(await readFile(path)));
  } catch (error) {
    const { code: reason } = error as NodeJS.ErrnoException;
    if (reason === 'ERR_ENCODING_INVALID_ENCODED_DATA')
      return failure(code, `${path} is not UTF-8 text. Save it as UTF-8. ${advice}`);
    if (reason === undefined) throw error;
    if (reason === 'ENOENT') return success(null);
    return failure(code, `${path} cannot be read (${reason}).`);
  }
}
