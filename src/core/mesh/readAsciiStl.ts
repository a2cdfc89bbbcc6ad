import type { Interrupter } from '../interrupter.ts';
import { type Failure, failure, type Result, success } from '../result.ts';
import type { TriangleSoup } from './mesh.ts';
import { notFinite } from './notFinite.ts';
import { parseNumber } from './parseNumber.ts';

const facetsPerTick = 1 << 15;
/** Rough bytes of a facet as most programs write it; only sets the first size of the growing array. */
const usualFacetBytes = 240;

/**
 * Reads ASCII STL from bytes: any number of solids, any letter case, any white space and line ends.
 * Between facets only `facet normal` matters, so names may hold any words. Normals are skipped
 * unread, since some programs write `nan` there for a triangle without area.
 * Fails with `stl-truncated`, `stl-not-stl`, `stl-no-triangles`, `stl-not-finite`, `stl-too-large`.
 */
export function readAsciiStl(
  bytes: Uint8Array,
  maxTriangles: number,
  interrupter: Interrupter,
): Result<TriangleSoup> {
  const scan: Scan = { bytes, start: 0, end: 0, afterLineEnd: true };
  let soup = new Float32Array(9 * Math.max(16, Math.ceil(bytes.length / usualFacetBytes)));
  let facets = 0;
  let broken = 0;
  let firstBroken = -1;
  let closed = false;
  while (nextToken(scan)) {
    if (tokenIs(scan, 'endsolid')) closed = true;
    else if (tokenIs(scan, 'solid') && scan.afterLineEnd) closed = false;
    if (!tokenIs(scan, 'facet')) continue;
    const mark = scan.end;
    if (!nextToken(scan)) break;
    if (!tokenIs(scan, 'normal')) {
      scan.end = mark;
      continue;
    }
    closed = false;
    if (facets === maxTriangles) return tooMany(maxTriangles);
    if (facets * 9 === soup.length) soup = grown(soup);
    const wrong = readFacet(scan, soup, facets * 9);
    if (wrong !== null) return { ok: false, error: wrong };
    if (!allFinite(soup, facets * 9)) {
      if (firstBroken < 0) firstBroken = facets;
      broken++;
    }
    facets++;
    if (facets % facetsPerTick === 0) interrupter(scan.end / bytes.length);
  }
  if (!closed) return cutShort(facets);
  if (facets === 0) return noFacets();
  return broken === 0 ? success(soup.slice(0, facets * 9)) : notFinite(broken, firstBroken);
}

interface Scan {
  readonly bytes: Uint8Array;
  /** The token is bytes[start … end). */
  start: number;
  end: number;
  /** True when a line ended since the token before. */
  afterLineEnd: boolean;
}

function nextToken(scan: Scan): boolean {
  const { bytes } = scan;
  let at = scan.end;
  scan.afterLineEnd = at === 0;
  while (at < bytes.length && bytes[at]! <= 32) {
    if (bytes[at] === 10 || bytes[at] === 13) scan.afterLineEnd = true;
    at++;
  }
  scan.start = at;
  while (at < bytes.length && bytes[at]! > 32) at++;
  scan.end = at;
  return scan.end > scan.start;
}

/** `word` in lower case letters. */
function tokenIs(scan: Scan, word: string): boolean {
  if (scan.end - scan.start !== word.length) return false;
  for (let i = 0; i < word.length; i++) {
    if ((scan.bytes[scan.start + i]! | 32) !== word.charCodeAt(i)) return false;
  }
  return true;
}

/** From after `facet normal` to after `endfacet`; null when it is well formed. */
function readFacet(scan: Scan, soup: Float32Array, out: number): Failure | null {
  for (let i = 0; i < 3; i++) if (!nextToken(scan)) return cutShort(out / 9).error;
  const opening = expect(scan, 'outer', out) ?? expect(scan, 'loop', out);
  if (opening !== null) return opening;
  for (let corner = 0; corner < 3; corner++) {
    const wrong = expect(scan, 'vertex', out);
    if (wrong !== null) return wrong;
    for (let axis = 0; axis < 3; axis++) {
      if (!nextToken(scan)) return cutShort(out / 9).error;
      const value = parseNumber(scan.bytes, scan.start, scan.end);
      // A last token that touches the end of the file may be half a number.
      if (scan.end === scan.bytes.length) return cutShort(out / 9).error;
      if (value === null) return unexpected(scan, 'a number', out);
      soup[out + corner * 3 + axis] = value;
    }
  }
  return expect(scan, 'endloop', out) ?? expect(scan, 'endfacet', out);
}

function expect(scan: Scan, word: string, out: number): Failure | null {
  if (!nextToken(scan)) return cutShort(out / 9).error;
  if (tokenIs(scan, word)) return null;
  return scan.end === scan.bytes.length ? cutShort(out / 9).error : unexpected(scan, `"${word}"`, out);
}

function unexpected(scan: Scan, wanted: string, out: number): Failure {
  const shown = String.fromCharCode(...scan.bytes.subarray(scan.start, Math.min(scan.end, scan.start + 20)));
  return failure(
    'stl-not-stl',
    `Line ${lineOf(scan)}, triangle ${out / 9 + 1}: ${wanted} was expected and "${printable(shown)}" found. Export the part as STL from the sculpting program again, as triangles and with a point for decimals.`,
  ).error;
}

const printable = (text: string): string => text.replace(/[^\x20-\x7e]/g, '?');

function lineOf(scan: Scan): number {
  let line = 1;
  for (let at = 0; at < scan.start; at++) {
    const byte = scan.bytes[at];
    if (byte === 10 || (byte === 13 && scan.bytes[at + 1] !== 10)) line++;
  }
  return line;
}

function allFinite(soup: Float32Array, at: number): boolean {
  for (let i = at; i < at + 9; i++) if (!Number.isFinite(soup[i]!)) return false;
  return true;
}

function grown(soup: Float32Array): Float32Array<ArrayBuffer> {
  const larger = new Float32Array(soup.length * 2);
  larger.set(soup);
  return larger;
}

function cutShort(facets: number) {
  return failure(
    'stl-truncated',
    `The text ends after ${facets} triangles without "endsolid". Copy or export the file again.`,
  );
}

function noFacets() {
  return failure(
    'stl-no-triangles',
    'The file holds no triangles. Export the part from the sculpting program again.',
  );
}

function tooMany(maxTriangles: number) {
  return failure(
    'stl-too-large',
    `The file has more than the ${maxTriangles} triangles that are allowed. Reduce the mesh in the sculpting program and export it again.`,
  );
}
