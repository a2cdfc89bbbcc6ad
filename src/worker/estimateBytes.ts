import { statSync } from 'node:fs';

/** Peak of a measurement: rays, layers and field of a plate-sized part, and some arrays per triangle. */
const fixedBytes = 500 * 2 ** 20;
const bytesPerFileByte = 12;

/** What a part will need at its peak, judged by its file's size before it is read. */
export function estimateBytes(path: string): number {
  const size = statSync(path, { throwIfNoEntry: false })?.size ?? 0;
  return fixedBytes + bytesPerFileByte * size;
}
