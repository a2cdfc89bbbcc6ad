import { createHash, randomFillSync } from 'node:crypto';
import { mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { CancelledError, type Interrupter, uninterrupted } from '../../../src/core/interrupter.ts';
import { readPartFile } from '../../../src/pipeline/readPartFile.ts';

const mebibyte = 2 ** 20;
let folder: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'kitwright-read-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

function fileOf(bytes: number): { path: string; content: Uint8Array } {
  const path = join(folder, `${bytes}.stl`);
  const content = randomFillSync(new Uint8Array(bytes));
  writeFileSync(path, content);
  return { path, content };
}

async function read(path: string, interrupter: Interrupter = uninterrupted) {
  const file = await readPartFile(path, 'part.stl', 100 * mebibyte, interrupter);
  if (!file.ok) throw new Error(file.error.code);
  return file.value;
}

/** Puts itself between the reading of a piece and the disk. */
async function readsOf(path: string, reads: (at: number, read: () => Promise<unknown>) => Promise<unknown>) {
  const handle = await open(path);
  const kind = Object.getPrototypeOf(handle) as { read(...args: number[]): Promise<unknown> };
  await handle.close();
  const { read } = kind;
  return vi.spyOn(kind, 'read').mockImplementation(function (this: unknown, ...args) {
    return reads(args[3]!, () => read.apply(this, args));
  });
}

const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');
const isSame = (a: Uint8Array, b: Uint8Array): boolean => Buffer.compare(a, b) === 0;

describe('a part’s file', () => {
  it.each([0, 1, 8 * mebibyte - 1, 8 * mebibyte, 8 * mebibyte + 1, 37 * mebibyte + 5])(
    'of %i bytes is read whole and hashed in order',
    async (bytes) => {
      const { path, content } = fileOf(bytes);
      const file = await read(path);
      expect(isSame(file.bytes, content)).toBe(true);
      expect(file.hash).toBe(sha256(content));
      expect(file.stats.size).toBe(bytes);
    },
  );

  it.each([9, 16, 24])(
    'that is cut to %i MiB while it is read ends where it ends, and its hash is of what was read',
    async (left) => {
      const { path, content } = fileOf(40 * mebibyte + left);
      let cut = false;
      const file = await read(path, () => {
        if (!cut) truncateSync(path, left * mebibyte);
        cut = true;
      });
      expect(file.bytes.length).toBeGreaterThanOrEqual(left * mebibyte);
      expect(file.bytes.length).toBeLessThanOrEqual(32 * mebibyte);
      expect(isSame(file.bytes, content.subarray(0, file.bytes.length))).toBe(true);
      expect(file.hash).toBe(sha256(file.bytes));
    },
  );

  it('that is cut at the end of a piece and grows again ends there', async () => {
    const { path, content } = fileOf(39 * mebibyte);
    const spy = await readsOf(path, async (at, read) => (at === 24 * mebibyte ? { bytesRead: 0 } : read()));
    const file = await read(path);
    spy.mockRestore();
    expect(file.bytes.length).toBe(24 * mebibyte);
    expect(file.hash).toBe(sha256(content.subarray(0, 24 * mebibyte)));
  });

  it('of which a later piece fails first is told as unreadable, once', async () => {
    const { path } = fileOf(38 * mebibyte);
    const spy = await readsOf(path, async (at, read) => {
      if (at > 0) throw Object.assign(new Error('i/o'), { code: 'EIO' });
      await new Promise((resolve) => setTimeout(resolve, 30));
      return read();
    });
    const file = await readPartFile(path, 'part.stl', 100 * mebibyte, uninterrupted);
    spy.mockRestore();
    expect(file.ok ? 'read' : file.error.code).toBe('file-unreadable');
  });

  it('is let go of at once when the reading is cancelled', async () => {
    const { path } = fileOf(30 * mebibyte);
    let looks = 0;
    const cancelled = read(path, () => {
      looks++;
      throw new CancelledError();
    });
    await expect(cancelled).rejects.toThrow(CancelledError);
    expect(looks).toBe(1);
  });
});
