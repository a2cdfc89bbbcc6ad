import { createHash } from 'node:crypto';
import { constants } from 'node:fs';
import { type FileHandle, open } from 'node:fs/promises';
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
const piecesAtOnce = 2;
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
  handle: FileHandle,
  size: number,
  interrupter: Interrupter,
): Promise<Omit<PartFile, 'stats'>> {
  const bytes = new Uint8Array(size);
  const hash = createHash('sha256');
  // Fetched while one is hashed, two at once: most of the time goes into fresh memory for them.
  const underWay: Promise<Uint8Array>[] = [];
  let asked = 0;
  const fetchNext = (): void => {
    if (asked === size) return;
    const from = asked;
    asked = Math.min(size, from + pieceBytes);
    const piece = readPiece(handle, bytes.subarray(from, asked), from);
    // Told in its turn.
    piece.catch(() => {});
    underWay.push(piece);
  };
  for (let n = 0; n < piecesAtOnce; n++) fetchNext();
  let filled = 0;
  try {
    for (let next = underWay.shift(); next !== undefined; next = underWay.shift()) {
      const piece = await next;
      fetchNext();
      hash.update(piece);
      filled += piece.length;
      interrupter(filled / size);
      // The last one, or the file has become shorter: what it may have grown to since is another file.
      if (piece.length < pieceBytes) break;
    }
  } finally {
    await Promise.allSettled(underWay);
  }
  return { bytes: bytes.subarray(0, filled), hash: hash.digest('hex') };
}

/** What there is of a piece of a file. */
async function readPiece(handle: FileHandle, piece: Uint8Array, at: number): Promise<Uint8Array> {
  let filled = 0;
  while (filled < piece.length) {
    const { bytesRead } = await handle.read(piece, filled, piece.length - filled, at + filled);
    if (bytesRead === 0) break;
    filled += bytesRead;
  }
  return piece.subarray(0, filled);
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
