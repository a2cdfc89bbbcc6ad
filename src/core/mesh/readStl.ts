import { type Interrupter, portion } from '../interrupter.ts';
import { type Result, success } from '../result.ts';
import { forEachBlock } from './facetSource.ts';
import type { TriangleSoup } from './mesh.ts';
import { notFinite } from './notFinite.ts';
import { openStl, type StlLimits } from './openStl.ts';

const facetsPerTick = 1 << 15;

/**
 * Reads an STL file, binary or ASCII, into loose facets, in the file's own coordinates and units.
 * Fails as `openStl` does, or with `stl-not-finite`.
 */
export function readStl(
  bytes: Uint8Array,
  limits: StlLimits,
  interrupter: Interrupter,
): Result<TriangleSoup> {
  const opened = openStl(bytes, limits, portion(interrupter, 0, 0.5));
  if (!opened.ok) return opened;
  const source = opened.value;
  const soup = new Float32Array(source.count * 9);
  const words = new Int32Array(soup.buffer);
  let broken = 0;
  let firstBroken = -1;
  forEachBlock(source, null, (facets, first) => {
    if (first % facetsPerTick === 0) interrupter(0.5 + (0.5 * first) / source.count);
    const block = words.subarray(9 * first, 9 * (first + facets.length));
    source.read(facets, block);
    if (areFinite(block)) return;
    for (let i = 0; i < facets.length; i++) {
      if (areFinite(block.subarray(9 * i, 9 * i + 9))) continue;
      if (firstBroken < 0) firstBroken = first + i;
      broken++;
    }
  });
  return broken === 0 ? success(soup) : notFinite(broken, firstBroken);
}

/**
 * A float32 is infinite or not a number exactly when its eight exponent bits are all set, and then
 * adding one to them sets the sign bit of what is left.
 */
function areFinite(words: Int32Array): boolean {
  let carried = 0;
  for (let i = 0; i < words.length; i++) carried |= (words[i]! & 0x7f800000) + 0x00800000;
  return carried >= 0;
}
