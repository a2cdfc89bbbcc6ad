import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { manifestName } from './readManifest.ts';

const deepest = 4;
const mostFolders = 2000;
const skipped = ['node_modules', 'ready'];

export interface FoundStls {
  /** Relative to the folder, `/` separated, in order of name; at most as many as asked for. */
  readonly files: readonly string[];
  /** There may be more: too many files or folders, or deeper ones. */
  readonly more: boolean;
}

/**
 * The STL files of a folder that is to become a kit. Hidden folders, links, what make ready wrote, and folders that are
 * kits of their own are left out. Throws what the disk says of the folder itself; a folder inside that cannot be read is
 * passed over.
 */
export async function findStls(folder: string, most: number): Promise<FoundStls> {
  const files: string[] = [];
  const waiting: { readonly path: string; readonly depth: number }[] = [{ path: '', depth: 0 }];
  let more = false;
  for (let at = 0; at < waiting.length; at++) {
    const { path, depth } = waiting[at]!;
    const entries = await readdir(join(folder, path), { withFileTypes: true }).catch((error: unknown) => {
      if (depth === 0) throw error;
      return [];
    });
    if (depth > 0 && entries.some(({ name }) => name === manifestName)) continue;
    for (const entry of entries) {
      const inside = path === '' ? entry.name : `${path}/${entry.name}`;
      if (entry.isFile() && /^[^.].*\.stl$/is.test(entry.name)) files.push(inside);
      if (!entry.isDirectory() || entry.name.startsWith('.') || skipped.includes(entry.name)) continue;
      if (depth < deepest && waiting.length < mostFolders) waiting.push({ path: inside, depth: depth + 1 });
      else more = true;
    }
  }
  files.sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
  return { files: files.slice(0, most), more: more || files.length > most };
}
