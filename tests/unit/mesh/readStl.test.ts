import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { readStl } from '../../../src/core/mesh/readStl.ts';
import { writeBinaryStl } from '../../../src/core/mesh/writeStl.ts';
import { box, random, torus, toSoup, toStl, transformed } from '../../shapes.ts';

const read = (bytes: Uint8Array, maxTriangles = 1e6) => readStl(bytes, { maxTriangles }, uninterrupted);
const text = (content: string) => new TextEncoder().encode(content);

function code(bytes: Uint8Array, maxTriangles?: number): string {
  const result = read(bytes, maxTriangles);
  return result.ok ? 'ok' : result.error.code;
}

function soupOf(bytes: Uint8Array): Float32Array {
  const result = read(bytes);
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

/** One solid as text; `number` writes a coordinate. */
function ascii(mesh: Mesh, name = 'lantern', number: (value: number) => string = String): string {
  const soup = toSoup(mesh);
  const lines = [`solid ${name}`];
  for (let i = 0; i < soup.length; i += 9) {
    lines.push('  facet normal 0 0 0', '    outer loop');
    for (let v = i; v < i + 9; v += 3) {
      lines.push(`      vertex ${[...soup.subarray(v, v + 3)].map(number).join(' ')}`);
    }
    lines.push('    endloop', '  endfacet');
  }
  lines.push(`endsolid ${name}`, '');
  return lines.join('\n');
}

const coat = transformed(torus(20, 5, 9, 7), { turn: [10, 20, 30], shift: [1, -2, 3] });
const soup = toSoup(coat);

describe('binary', () => {
  it('gives the corners back bit for bit, at any place in its buffer', () => {
    for (let shift = 0; shift < 8; shift++) {
      const padded = new Uint8Array(toStl(coat).length + 16);
      padded.set(toStl(coat), shift);
      expect(soupOf(padded.subarray(shift, shift + toStl(coat).length))).toEqual(soup);
    }
  });

  it('is binary by its size though its header says solid', () => {
    const bytes = toStl(coat);
    bytes.set(text('solid made by a program that pads with blanks'.padEnd(80)));
    expect(soupOf(bytes)).toEqual(soup);
  });

  it('ignores bytes after the facets while they are the lesser part', () => {
    const bytes = new Uint8Array([...toStl(coat), ...new Uint8Array(1000).fill(7)]);
    bytes.set(text('solid'));
    expect(soupOf(bytes)).toEqual(soup);
    expect(code(new Uint8Array([...toStl(box(1)), ...new Uint8Array(601)]))).toBe('stl-not-stl');
  });

  it('round-trips through the writer', () => {
    expect(soupOf(writeBinaryStl(coat))).toEqual(soup);
    expect(writeBinaryStl(coat)).toEqual(writeBinaryStl(coat));
  });
});

describe('ascii', () => {
  it('reads what it means, to the last bit', () => {
    expect(soupOf(text(ascii(coat)))).toEqual(soup);
    expect(soupOf(text(ascii(coat, 'x', (v) => v.toExponential(12))))).toEqual(soup);
    expect(soupOf(text(ascii(coat, 'x', (v) => v.toExponential(20).toUpperCase())))).toEqual(soup);
  });

  it('takes any letter case, line ends and white space', () => {
    const plain = ascii(coat);
    expect(soupOf(text(plain.toUpperCase().replaceAll('\n', '\r\n')))).toEqual(soup);
    expect(soupOf(text(plain.replaceAll('\n', '\r')))).toEqual(soup);
    expect(soupOf(text(`\ufeff\n  ${plain.replaceAll(' ', '\t  \f')}`))).toEqual(soup);
    expect(soupOf(text(plain.replaceAll('\n', ' ')))).toEqual(soup);
    expect(soupOf(text(plain.trimEnd()))).toEqual(soup);
  });

  it('reads several solids, with any words in their names', () => {
    const two = ascii(box(1), 'facet of a solid lamp') + ascii(box(2), 'endsolid vertex 1 2 3');
    expect(soupOf(text(two))).toEqual(Float32Array.from([...toSoup(box(1)), ...toSoup(box(2))]));
  });

  it('skips normals unread', () => {
    const odd = ascii(coat).replaceAll('normal 0 0 0', 'normal -nan(ind) nan 1.#QNAN');
    expect(soupOf(text(odd))).toEqual(soup);
  });

  it('tells a text that stops early, wrong words and decimal commas', () => {
    const plain = ascii(coat);
    expect(code(text(plain.slice(0, plain.indexOf('endsolid'))))).toBe('stl-truncated');
    expect(code(text(`${plain}solid second\n`))).toBe('stl-truncated');
    const comma = read(text(ascii(box(1)).replaceAll('0.5', '0,5')));
    expect(comma).toMatchObject({ ok: false, error: { code: 'stl-not-stl' } });
    expect(!comma.ok && comma.error.message).toMatch(/^Line 4, triangle 1: a number was expected/);
    expect(code(text(ascii(box(1)).replace('endloop', 'vertex 1 2 3\nendloop')))).toBe('stl-not-stl');
    expect(code(text(ascii(box(1)).replace('outer', 'inner')))).toBe('stl-not-stl');
  });

  it('parses numbers as the language does', () => {
    const next = random(7);
    for (let i = 0; i < 2000; i++) {
      const value = (next() - 0.5) * 10 ** Math.floor(next() * 60 - 30);
      const written = [String(value), value.toExponential(), value.toFixed(9)][i % 3]!;
      const facet = `facet normal 0 0 0 outer loop vertex ${written} 0 0 vertex 1 0 0 vertex 0 1 0 endloop endfacet`;
      expect(soupOf(text(`solid\n${facet}\nendsolid`))[0], `seed 7: ${written}`).toBe(
        Math.fround(Number(written)),
      );
    }
  });
});

describe('what is no mesh', () => {
  const withCoordinate = (value: number): Uint8Array => {
    const bytes = toStl(coat);
    new DataView(bytes.buffer).setFloat32(84 + 50 * 5 + 16, value, true);
    return bytes;
  };

  it.each([
    ['empty', new Uint8Array(0), 'stl-empty'],
    ['a few bytes', Uint8Array.of(0, 1, 2), 'stl-truncated'],
    ['a cut binary', toStl(coat).slice(0, -1), 'stl-truncated'],
    ['zero triangles', new Uint8Array(84), 'stl-no-triangles'],
    ['an empty solid', text('solid nothing\nendsolid nothing\n'), 'stl-no-triangles'],
    ['a not-a-number', withCoordinate(Number.NaN), 'stl-not-finite'],
    ['an infinity', withCoordinate(Number.NEGATIVE_INFINITY), 'stl-not-finite'],
    ['a text not-a-number', text(ascii(coat).replace(/vertex \S+/, 'vertex nan')), 'stl-not-finite'],
    ['a text infinity', text(ascii(coat).replace(/vertex \S+/, 'vertex -INF')), 'stl-not-finite'],
    [
      'a text number beyond float32',
      text(ascii(coat).replace(/vertex \S+/, 'vertex 1e39')),
      'stl-not-finite',
    ],
    ['prose', text('The lamplighter walks the street at dusk. '.repeat(20)), 'stl-not-stl'],
    ['an image', new Uint8Array(5000).map((_, i) => (i * 197 + 89) & 255), 'stl-not-stl'],
    ['white space', text(' \n'.repeat(100)), 'stl-not-stl'],
    ['a lone word', text('solid'), 'stl-truncated'],
  ])('%s', (_name, bytes, expected) => {
    expect(code(bytes)).toBe(expected);
  });

  it('refuses what is over the limit before reading it', () => {
    expect(code(toStl(coat), coat.triangles.length / 3)).toBe('ok');
    expect(code(toStl(coat), coat.triangles.length / 3 - 1)).toBe('stl-too-large');
    expect(code(text(ascii(coat)), coat.triangles.length / 3)).toBe('ok');
    expect(code(text(ascii(coat)), coat.triangles.length / 3 - 1)).toBe('stl-too-large');
  });

  it('says what to do', () => {
    for (const bytes of [
      new Uint8Array(0),
      toStl(coat).slice(0, 700),
      withCoordinate(Number.NaN),
      text('x'),
    ]) {
      const result = read(bytes);
      expect(!result.ok && result.error.message).toMatch(/again\.$|program\.$/);
    }
  });
});
