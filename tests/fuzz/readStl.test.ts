import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../src/core/interrupter.ts';
import { readStl } from '../../src/core/mesh/readStl.ts';
import { repairMesh } from '../../src/core/mesh/repairMesh.ts';
import { reportTopology } from '../../src/core/mesh/topology.ts';
import { weld } from '../../src/core/mesh/weld.ts';
import { writeBinaryStl } from '../../src/core/mesh/writeStl.ts';
import { box, cone, join, meshOf, random, toSoup, toStl } from '../shapes.ts';

const codes = [
  'stl-empty',
  'stl-truncated',
  'stl-not-stl',
  'stl-no-triangles',
  'stl-not-finite',
  'stl-too-large',
];
const read = (bytes: Uint8Array) => readStl(bytes, { maxTriangles: 100_000 }, uninterrupted);

/** A coded sentence or finite facets; nothing else may come out. */
function expectCivil(bytes: Uint8Array, why: string) {
  const result = read(bytes);
  if (result.ok) {
    expect(result.value.length % 9, why).toBe(0);
    expect(result.value.every(Number.isFinite), why).toBe(true);
  } else {
    expect(codes, why).toContain(result.error.code);
    expect(result.error.message, why).toMatch(/\.$/);
  }
  return result;
}

const shape = join(box(3), cone(2, 5, 7));
const binary = toStl(shape);
const ascii = new TextEncoder().encode(asText());

function asText(): string {
  const soup = toSoup(shape);
  let text = 'solid ladder\r\n';
  for (let i = 0; i < soup.length; i += 9) {
    text += 'facet normal 0 0 1\r\n outer loop\r\n';
    for (let v = i; v < i + 9; v += 3)
      text += `  vertex ${soup[v]!.toExponential(6)} ${soup[v + 1]} ${soup[v + 2]}\r\n`;
    text += ' endloop\r\nendfacet\r\n';
  }
  return `${text}endsolid ladder\r\n`;
}

describe('a file cut at every byte', () => {
  it('binary: never read as whole', () => {
    for (let length = 0; length < binary.length; length++) {
      const result = expectCivil(binary.subarray(0, length), `cut at ${length}`);
      expect(result.ok, `cut at ${length}`).toBe(false);
    }
    expect(read(binary).ok).toBe(true);
  });

  it('binary whose header says solid: never read as whole', () => {
    const named = binary.slice();
    named.set(new TextEncoder().encode('solid '.padEnd(80, ' ')));
    for (let length = 0; length < named.length; length++) {
      expect(expectCivil(named.subarray(0, length), `cut at ${length}`).ok, `cut at ${length}`).toBe(false);
    }
    expect(read(named).ok).toBe(true);
  });

  it('text: read as whole only when nothing but the last name is missing', () => {
    const lastWord = asText().lastIndexOf('endsolid') + 'endsolid'.length;
    for (let length = 0; length <= ascii.length; length++) {
      const result = expectCivil(ascii.subarray(0, length), `cut at ${length}`);
      expect(result.ok, `cut at ${length}`).toBe(length >= lastWord);
      if (result.ok) expect(result.value).toHaveLength(shape.triangles.length * 3);
      else if (length >= 'solid'.length) expect(result.error.code, `cut at ${length}`).toBe('stl-truncated');
    }
  });
});

describe('broken bytes', () => {
  it.each([
    ['binary', binary],
    ['text', ascii],
  ])('%s with a few bytes changed', (_name, original) => {
    for (let seed = 1; seed <= 3000; seed++) {
      const next = random(seed);
      const bytes = original.slice();
      for (let i = 0; i < 1 + 4 * next(); i++)
        bytes[Math.floor(next() * bytes.length)] = Math.floor(next() * 256);
      expectCivil(bytes, `seed ${seed}`);
    }
  });

  it('random bytes of any length', () => {
    for (let seed = 1; seed <= 2000; seed++) {
      const next = random(seed);
      const bytes = Uint8Array.from({ length: Math.floor(next() * 700) }, () => Math.floor(next() * 256));
      if (seed % 3 === 0) bytes.set([115, 111, 108, 105, 100, 32].slice(0, bytes.length));
      if (seed % 5 === 0 && bytes.length > 84) bytes.set([Math.floor(next() * 14), 0, 0, 0], 80);
      expectCivil(bytes, `seed ${seed}`);
    }
  });

  it('words of the format in random order', () => {
    const words =
      'solid endsolid facet normal outer loop vertex endloop endfacet 1 -2.5 1e3 nan x \n \r\n'.split(' ');
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...words), { maxLength: 60 }), (picked) => {
        expectCivil(new TextEncoder().encode(`solid ${picked.join(' ')}`), picked.join(' '));
      }),
      { numRuns: 2000 },
    );
  });
});

describe('properties', () => {
  const coordinate = fc.float({ noNaN: true, noDefaultInfinity: true });
  const soups = fc
    .array(fc.tuple(...Array.from({ length: 9 }, () => coordinate)), { minLength: 1, maxLength: 20 })
    .map((facets) => Float32Array.from(facets.flat()));

  it('what is written is read back bit for bit', () => {
    fc.assert(
      fc.property(soups, (soup) => {
        const mesh = meshOf(
          soup,
          Uint32Array.from({ length: soup.length / 3 }, (_, i) => i),
        );
        expect(read(writeBinaryStl(mesh))).toEqual({ ok: true, value: soup });
      }),
    );
  });

  it('welding keeps every corner it does not merge, and is stable', () => {
    fc.assert(
      fc.property(soups, (soup) => {
        const { mesh, toleranceUsed } = weld(soup, uninterrupted);
        fc.pre(toleranceUsed === 0);
        const again = toSoup(mesh);
        expect(again.every((value, i) => value === soup[i])).toBe(true);
        expect(weld(again, uninterrupted).mesh).toEqual(mesh);
      }),
    );
  });

  it('few vertices, many facets: mending ends, and sound means watertight', () => {
    const facets = fc.array(fc.nat({ max: 7 }), { minLength: 3, maxLength: 90 });
    fc.assert(
      fc.property(facets, (corners) => {
        const triangles = corners.slice(0, corners.length - (corners.length % 3));
        const { mesh, sound } = repairMesh(meshOf(box(2).positions, triangles), uninterrupted);
        const report = reportTopology(mesh, uninterrupted);
        expect(sound).toBe(report.watertight && report.triangles > 0);
        expect(Number.isFinite(report.signedVolume)).toBe(true);
      }),
      { numRuns: 1000 },
    );
  });
});
