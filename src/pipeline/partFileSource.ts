import { createHash } from 'node:crypto';
import { mkdir, readFile, stat } from 'node:fs/promises';
import { join, relative } from 'node:path';
import type { Interrupter } from '../core/interrupter.ts';
import { type Result, success } from '../core/result.ts';
import type { PartRequest } from './partRequest.ts';
import { type FileStats, readPartFile } from './readPartFile.ts';
import { writeAside } from './writeAside.ts';

/** A part's file whose content hash is known; its bytes are read only when a stage needs them. */
export interface PartFileSource {
  readonly hash: string;
  bytes(interrupter: Interrupter): Promise<Result<Uint8Array>>;
}

interface HashRecord {
  readonly size: number;
  readonly mtimeMs: number;
  readonly ino: number;
  readonly hash: string;
}

/**
 * Opens a part's file. With `trustRecord`, a file whose size, modification time and inode are those
 * of the last reading keeps the hash recorded then, so that an unchanged kit is not read again.
 */
export async function openPartFile(
  { path, kitDir }: Pick<PartRequest, 'path' | 'kitDir'>,
  trustRecord: boolean,
  limitBytes: number,
  interrupter: Interrupter,
): Promise<Result<PartFileSource>> {
  const shownAs = kitDir === null ? path : relative(kitDir, path).replaceAll('\\', '/');
  const recorded = kitDir !== null && trustRecord ? await recordedHash(kitDir, path) : null;
  if (recorded !== null) {
    return success({
      hash: recorded,
      bytes: async (interrupt) => bytesOf(await readPartFile(path, shownAs, limitBytes, interrupt)),
    });
  }
  const file = await readPartFile(path, shownAs, limitBytes, interrupter);
  if (!file.ok) return file;
  if (kitDir !== null) await recordHash(kitDir, path, file.value.hash, file.value.stats);
  return success({ hash: file.value.hash, bytes: async () => success(file.value.bytes) });
}

const bytesOf = (file: Awaited<ReturnType<typeof readPartFile>>): Result<Uint8Array> =>
  file.ok ? success(file.value.bytes) : file;

/** The hash of the last reading; null when the file may have changed since. */
export async function recordedHash(kitDir: string, path: string): Promise<string | null> {
  try {
    const record = JSON.parse(await readFile(recordFile(kitDir, path), 'utf8')) as HashRecord;
    const now = await stat(path);
    const same = record.size === now.size && record.mtimeMs === now.mtimeMs && record.ino === now.ino;
    return same ? record.hash : null;
  } catch {
    return null;
  }
}

export async function recordHash(
  kitDir: string,
  path: string,
  hash: string,
  { size, mtimeMs, ino }: FileStats,
): Promise<void> {
  try {
    await mkdir(join(kitDir, '.kitwright', 'hashes'), { recursive: true });
    const record: HashRecord = { size, mtimeMs, ino, hash };
    await writeAside(recordFile(kitDir, path), [Buffer.from(JSON.stringify(record))], false);
  } catch {
    // Without a record the file is read again next time.
  }
}

/** One small file a part, so that parts recorded at the same time do not overwrite each other. */
function recordFile(kitDir: string, path: string): string {
  const name = createHash('sha256').update(relative(kitDir, path)).digest('hex').slice(0, 24);
  return join(kitDir, '.kitwright', 'hashes', `${name}.json`);
}
