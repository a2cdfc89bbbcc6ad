import { createHash } from 'node:crypto';
import { constants } from 'node:fs';
import { open } from 'node:fs/promises';
import type { Interrupter } from '../core/interrupter.ts';
import { failure, type Result, success } from '../core/result.ts';

/** By which a file is known to be the one that was read. */
export interface FileStats {
  readonly size: number;
  readonly mtimeMs: number;
  readonly ino: number;
}

export interface PartFile {
  readonly bytes: Uint8Array;
  /** SHA-256 of the content, hex. */
  readonly hash: string;
  /** As it was when it was opened. */
  readonly stats: FileStats;
}

const pieceBytes = 8 * 2 ** 20;
/** Opening a named pipe would otherwise wait for a writer, and nothing can interrupt it. */
export const readOnly = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);

/** Reads a part's file once, in pieces, into one buffer; hashes it on the way. Never writes. `shownAs` names it in messages. */
export async function readPartFile(
  path: string,
  shownAs: string,
  limitBytes: number,
  interrupter: Interrupter,
): Promise<Result<PartFile>> {
  try {
    const handle = await open(path, readOnly);
    try {
      const info = await handle.stat();
      if (!info.isFile())
        return failure('file-unreadable', `${shownAs} is not a file. Point \`file\` at an STL.`);
      if (info.size > limitBytes) {
        return failure(
          'file-too-large',
          `${shownAs} has ${mebibytes(info.size)} MiB, more than the ${mebibytes(limitBytes)} MiB that are read. Reduce the mesh, or raise limits.triangles.`,
        );
      }
      return success({ ...(await readAll(handle, info.size, interrupter)), stats: info });
    } finally {
      await handle.close();
    }
  } catch (error) {
    return fileFailure(shownAs, error);
  }
}

async function readAll(
  handle: Awaited<ReturnType<typeof open>>,
  size: number,
  interrupter: Interrupter,
): Promise<Omit<PartFile, 'stats'>> {
  const bytes = new Uint8Array(size);
  const hash = createHash('sha256');
  const pieceAt = (at: number) => handle.read(bytes, at, Math.min(pieceBytes, size - at), at);
  let filled = 0;
  let next = size > 0 ? pieceAt(0) : null;
  try {
    while (next !== null) {
      const from = filled;
      filled += (await next).bytesRead;
      // The next piece is fetched while this one is hashed.
      next = filled > from && filled < size ? pieceAt(filled) : null;
      hash.update(bytes.subarray(from, filled));
      interrupter(filled / size);
    }
  } finally {
    await next?.catch(() => {});
  }
  return { bytes: bytes.subarray(0, filled), hash: hash.digest('hex') };
}

function fileFailure(shownAs: string, error: unknown): ReturnType<typeof failure> {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === undefined) throw error;
  if (code === 'ENOENT' || code === 'ENOTDIR') {
    return failure('file-missing', `${shownAs} is not there. Put the file back, or correct \`file\`.`);
  }
  return failure(
    'file-unreadable',
    `${shownAs} cannot be read (${code}). Check its permissions and the disk.`,
  );
}

const mebibytes = (bytes: number): string => (bytes / 2 ** 20).toFixed(0);
