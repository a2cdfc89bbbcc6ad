import { createHash } from 'node:crypto';
import { open } from 'node:fs/promises';
import { CancelledError } from '../core/interrupter.ts';
import { recordHash } from './partFileSource.ts';
import { readOnly } from './readPartFile.ts';

const pieceBytes = 8 * 2 ** 20;

/**
 * SHA-256 of a part's file as it is on disk now, whatever was recorded of it; what is measured next goes by it. Null
 * where there is no such file.
 */
export async function hashPartFile(
  kitDir: string,
  path: string,
  signal: AbortSignal,
): Promise<string | null> {
  const handle = await open(path, readOnly).catch(() => null);
  if (handle === null) return null;
  try {
    // Of the file that is read: another may be put in its place meanwhile.
    const stats = await handle.stat();
    if (!stats.isFile()) return null;
    const hash = createHash('sha256');
    const piece = new Uint8Array(pieceBytes);
    for (;;) {
      if (signal.aborted) throw new CancelledError();
      const { bytesRead } = await handle.read(piece, 0, pieceBytes, null);
      if (bytesRead === 0) break;
      hash.update(piece.subarray(0, bytesRead));
    }
    const found = hash.digest('hex');
    await recordHash(kitDir, path, found, stats);
    return found;
  } finally {
    await handle.close();
  }
}
