import { readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { failure, type Result, success } from '../core/result.ts';

export const manifestName = 'kit.yaml';

const limitBytes = 4 * 2 ** 20;

/** The text of a kit folder's manifest, as UTF-8. */
export async function readManifest(kitDir: string): Promise<Result<string>> {
  const path = join(kitDir, manifestName);
  try {
    const info = await stat(path);
    if (!info.isFile())
      return failure('manifest-unreadable', `${path} is not a file. Name a folder that has a kit.yaml.`);
    const { size } = info;
    if (size > limitBytes)
      return failure(
        'manifest-unreadable',
        `${path} has ${size} bytes; a manifest has at most ${limitBytes}.`,
      );
    return success(await readFile(path, 'utf8'));
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    return failure(
      'manifest-unreadable',
      `${path} cannot be read (${code}). Name a folder that has a kit.yaml.`,
    );
  }
}
