import type { FacetSource } from './facetSource.ts';

const facetBytes = 50;
const normalBytes = 12;
const littleEndian = new Uint8Array(Uint32Array.of(1).buffer)[0] === 1;

/**
 * The corners of `count` binary facets that start at byte `start`; the caller has checked that the
 * bytes are there. Normals and attribute words are not read.
 */
export function binaryFacets(bytes: Uint8Array, start: number, count: number): FacetSource {
  const even = (bytes.byteOffset + start) % 2 === 0;
  return littleEndian && even ? wordwise(bytes, start, count) : bytewise(bytes, start, count);
}

/**
 * Facets are 50 bytes, so every other one lies across word boundaries by two bytes; its words are
 * joined from halves. Needs an even byte offset and a little-endian machine.
 */
function wordwise(bytes: Uint8Array, start: number, count: number): FacetSource {
  const origin = bytes.byteOffset + start;
  const base = origin - (origin & 3);
  const source = new Int32Array(bytes.buffer, base, (bytes.byteOffset + bytes.byteLength - base) >>> 2);
  const firstByte = origin - base + normalBytes;
  return { count, read: (facets, into) => copyWords(source, firstByte, facets, into) };
}

function copyWords(source: Int32Array, firstByte: number, facets: Uint32Array, into: Int32Array): void {
  for (let i = 0; i < facets.length; i++) {
    const byte = firstByte + facets[i]! * facetBytes;
    const word = byte >>> 2;
    const to = 9 * i;
    if ((byte & 3) === 0) {
      for (let k = 0; k < 9; k++) into[to + k] = source[word + k]!;
      continue;
    }
    let low = source[word]!;
    for (let k = 0; k < 9; k++) {
      const high = source[word + k + 1]!;
      into[to + k] = (low >>> 16) | (high << 16);
      low = high;
    }
  }
}

function bytewise(bytes: Uint8Array, start: number, count: number): FacetSource {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return {
    count,
    read: (facets, into) => {
      for (let i = 0; i < facets.length; i++) {
        const from = start + facets[i]! * facetBytes + normalBytes;
        for (let k = 0; k < 9; k++) into[9 * i + k] = view.getInt32(from + 4 * k, true);
      }
    },
  };
}
