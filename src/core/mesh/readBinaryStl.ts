import type { Interrupter } from '../interrupter.ts';
import { failure, type Result, success } from '../result.ts';
import type { TriangleSoup } from './mesh.ts';

const facetBytes = 50;
const normalBytes = 12;
const facetsPerTick = 1 << 17;
const littleEndian = new Uint8Array(Uint32Array.of(1).buffer)[0] === 1;

/**
 * Copies the corners of `facets` binary facets that start at byte `start`; the caller has checked
 * that the bytes are there. Normals and attribute words are not read. Fails with `stl-not-finite`.
 */
export function readBinaryStl(
  bytes: Uint8Array,
  start: number,
  facets: number,
  interrupter: Interrupter,
): Result<TriangleSoup> {
  const soup = new Float32Array(facets * 9);
  const words = new Uint32Array(soup.buffer);
  const copy = littleEndian && (bytes.byteOffset + start) % 2 === 0 ? copyAligned : copyBytewise;
  let broken = 0;
  let firstBroken = -1;
  for (let from = 0; from < facets; from += facetsPerTick) {
    interrupter(from / facets);
    const to = Math.min(facets, from + facetsPerTick);
    copy(bytes, start, from, to, words);
    for (let facet = from; facet < to; facet++) {
      if (isFinite9(words, facet * 9)) continue;
      if (firstBroken < 0) firstBroken = facet;
      broken++;
    }
  }
  return broken === 0 ? success(soup) : notFinite(broken, firstBroken);
}

/** Sentence for facets whose corners are no numbers; shared by both encodings. */
export function notFinite(broken: number, firstFacet: number) {
  return failure(
    'stl-not-finite',
    `${broken} triangle${broken === 1 ? ' has' : 's have'} corners that are not finite numbers (the first is triangle ${firstFacet + 1}). Clean the mesh in the sculpting program and export it again.`,
  );
}

/** A float32 is infinite or not a number exactly when its eight exponent bits are all set. */
function isFinite9(words: Uint32Array, at: number): boolean {
  for (let i = at; i < at + 9; i++) {
    if ((words[i]! & 0x7f800000) === 0x7f800000) return false;
  }
  return true;
}

/**
 * Facets are 50 bytes, so every other one lies across word boundaries by two bytes; its words are
 * joined from halves. Needs an even byte offset and a little-endian machine.
 */
function copyAligned(bytes: Uint8Array, start: number, from: number, to: number, words: Uint32Array): void {
  const origin = bytes.byteOffset + start;
  const base = origin & ~3;
  const source = new Uint32Array(bytes.buffer, base, (bytes.byteOffset + bytes.byteLength - base) >>> 2);
  for (let facet = from; facet < to; facet++) {
    const byte = origin - base + facet * facetBytes + normalBytes;
    let word = byte >>> 2;
    let out = facet * 9;
    const end = out + 9;
    if ((byte & 3) === 0) {
      while (out < end) words[out++] = source[word++]!;
    } else {
      let low = source[word++]!;
      while (out < end) {
        const high = source[word++]!;
        words[out++] = (low >>> 16) | (high << 16);
        low = high;
      }
    }
  }
}

function copyBytewise(bytes: Uint8Array, start: number, from: number, to: number, words: Uint32Array): void {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (let facet = from; facet < to; facet++) {
    const at = start + facet * facetBytes + normalBytes;
    for (let i = 0; i < 9; i++) words[facet * 9 + i] = view.getUint32(at + 4 * i, true);
  }
}
