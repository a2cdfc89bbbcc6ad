import { statSync } from 'node:fs';

/** Peak of a measurement: rays, layers and field of a plate-sized part, and some arrays per triangle. */
const fixedBytes = 500 * 2 ** 20;
const bytesPerFileByte = 12;

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
