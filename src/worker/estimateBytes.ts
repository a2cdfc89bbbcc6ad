import { statSync } from 'node:fs';

/** Peak of a measurement beyond its file: rays, layers and field of a part as large as a plate. */
const fixedBytes = 250 * 2 ** 20;
/** The file itself, its mesh and what is made of it: measured with binary files of 1, 2 and 5 million triangles. */
const bytesPerFileByte = 2.2;

/** What a part will need at its peak, judged by its file's size before it is read. */
export function estimateBytes(path: string): number {
  return fixedBytes + bytesPerFileByte * sizeOf(path);
}

function sizeOf(path: string): number {
  try {
    return statSync(path).size;
  } catch {
    // Reading it will tell what is wrong with it.
    return 0;
  }
}
