import { readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { failure, type Result, success } from '../core/result.ts';

export const ledgerName = 'ledger.yaml';

const limitBytes = 16 * 2 ** 20;

/** The text of a kit's ledger; null where none was recorded. Fails `ledger-unreadable`. */
export async function readLedgerFile(kitDir: string): Promise<Result<string | null>> {
  const path = join(kitDir, ledgerName);
  try {
    const info = await stat(path);
    if (!info.isFile() || info.size > limitBytes)
      return failure(
        'ledger-unreadable',
        `${path} is no file of at most ${limitBytes} bytes. Move it away and record again.`,
      );
    return success(await readFile(path, 'utf8'));
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    if (code === 'ENOENT') return success(null);
    return failure('ledger-unreadable', `${path} cannot be read (${code}).`);
  }
}
