import type { Interrupter } from '../interrupter.ts';
import { failure, type Result, success } from '../result.ts';
import { binaryFacets } from './binaryFacets.ts';
import { type FacetSource, soupFacets } from './facetSource.ts';
import { readAsciiStl } from './readAsciiStl.ts';

export interface StlLimits {
  /** Files with more triangles are refused. */
  readonly maxTriangles: number;
}

const headerBytes = 84;
const facetBytes = 50;
/** How far a file is searched for a NUL byte, which no text holds and every binary count below 2²⁴ does. */
const textProbeBytes = 1024;

/**
 * Tells what an STL file is and gives its facets, in the file's own coordinates and units. Corners of a
 * binary file are not looked at yet: they may be no numbers.
 *
 * Which of the two: a file of exactly 84 + 50·count bytes is binary whatever its header says;
 * else a file that starts with the word `solid` and has no NUL byte near its start is text; else
 * it is binary. Bytes after the last announced facet are ignored as long as they are fewer than
 * the facets' own (some programs append colours or names); more than that is no STL.
 *
 * Fails with `stl-empty`, `stl-truncated`, `stl-not-stl`, `stl-no-triangles` or `stl-too-large`;
 * text also with `stl-not-finite`.
 */
export function openStl(bytes: Uint8Array, limits: StlLimits, interrupter: Interrupter): Result<FacetSource> {
  if (bytes.length === 0) {
    return failure('stl-empty', 'The file is empty. Export the part from the sculpting program again.');
  }
  const text = !bytes.subarray(0, textProbeBytes).includes(0);
  if (bytes.length < headerBytes) return text ? readText(bytes, limits, interrupter) : cutInHeader(bytes);
  const announced = announcedFacets(bytes);
  const excess = bytes.length - headerBytes - facetBytes * announced;
  if (excess !== 0 && text) return readText(bytes, limits, interrupter);
  if (announced === 0) {
    return failure(
      'stl-no-triangles',
      'The file announces zero triangles. Export the part from the sculpting program again.',
    );
  }
  if (excess < 0) return shortOf(announced, bytes.length);
  if (excess > facetBytes * announced) return notStl();
  if (announced > limits.maxTriangles) return tooLarge(announced, limits);
  return success(binaryFacets(bytes, headerBytes, announced));
}

function readText(bytes: Uint8Array, limits: StlLimits, interrupter: Interrupter): Result<FacetSource> {
  if (!startsWithSolid(bytes)) return notStl();
  const soup = readAsciiStl(bytes, limits.maxTriangles, interrupter);
  return soup.ok ? success(soupFacets(soup.value)) : soup;
}

function announcedFacets(bytes: Uint8Array): number {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(80, true);
}

/** Past a UTF-8 byte order mark and white space, any letter case. */
function startsWithSolid(bytes: Uint8Array): boolean {
  let at = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0;
  while (at < bytes.length && bytes[at]! <= 32) at++;
  const word = 'solid';
  for (let i = 0; i < word.length; i++) {
    if ((bytes[at + i]! | 32) !== word.charCodeAt(i)) return false;
  }
  return at + word.length === bytes.length || bytes[at + word.length]! <= 32;
}

function cutInHeader(bytes: Uint8Array) {
  return failure(
    'stl-truncated',
    `The file has ${bytes.length} bytes and ends inside the 84-byte header of a binary STL. Copy or export it again.`,
  );
}

/** More triangles than a 10 GB file could hold are taken for the bytes of some other format. */
const plausibleFacets = 200_000_000;

function shortOf(announced: number, length: number) {
  if (announced > plausibleFacets) return notStl();
  const held = Math.floor((length - headerBytes) / facetBytes);
  return failure(
    'stl-truncated',
    `The file announces ${announced} triangles and ends after ${held}. Copy or export it again.`,
  );
}

function notStl() {
  return failure(
    'stl-not-stl',
    'The file is neither a binary nor an ASCII STL. Export the part as STL from the sculpting program.',
  );
}

function tooLarge(announced: number, limits: StlLimits) {
  return failure(
    'stl-too-large',
    `The file has ${announced} triangles, more than the ${limits.maxTriangles} that are allowed. Reduce the mesh in the sculpting program and export it again.`,
  );
}
