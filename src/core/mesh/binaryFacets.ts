import type { FacetSource } from './facetSource.ts';

const facetBytes = 50;
const normalBytes = 12;
const cornerBytes = 36;
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
  return {
    count,
    read: (facets, into) => {
      // The sum is written over; asked for, so that the loads are not left out.
      if (!areInTurn(facets)) into[0] = touchWords(source, firstByte, facets);
      copyWords(source, firstByte, facets, into);
    },
  };
}

const areInTurn = (facets: Uint32Array): boolean =>
  facets.length === 0 || facets[facets.length - 1]! - facets[0]! === facets.length - 1;

/** Facets from all over the file: loads that do not wait for each other bring them nearer in half the time. */
function touchWords(source: Int32Array, firstByte: number, facets: Uint32Array): number {
  let sum = 0;
  for (let i = 0; i < facets.length; i++) {
    const byte = firstByte + facets[i]! * facetBytes;
    sum ^= source[byte >>> 2]! ^ source[(byte + cornerBytes - 1) >>> 2]!;
  }
  return sum;
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
