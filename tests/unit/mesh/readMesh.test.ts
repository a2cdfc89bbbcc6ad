import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { soupFacets } from '../../../src/core/mesh/facetSource.ts';
import { isScattered } from '../../../src/core/mesh/isScattered.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { mortonOrder } from '../../../src/core/mesh/mortonOrder.ts';
import { readMesh } from '../../../src/core/mesh/readMesh.ts';
import { readStl } from '../../../src/core/mesh/readStl.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import { weld } from '../../../src/core/mesh/weld.ts';
import { weldExactly } from '../../../src/core/mesh/weldExactly.ts';
import { weldByText } from '../../oracles/weldByText.ts';
import {
  box,
  hollowSphere,
  icosphere,
  join,
  random,
  shuffled,
  torus,
  toSoup,
  toStl,
  transformed,
} from '../../shapes.ts';

const limits = { maxTriangles: 1e6 };

/** A binary STL of loose facets. */
function stlOf(soup: Float32Array): Uint8Array {
  const facets = soup.length / 9;
  return toStl({ positions: soup, triangles: Uint32Array.from({ length: 3 * facets }, (_, i) => i) });
}

describe('exact welding does what a dictionary does', () => {
  const next = random(77);
  const soups: [string, () => Float32Array][] = [
    ['cube', () => toSoup(box(2))],
    ['torus, mixed', () => shuffled(toSoup(torus(10, 3)), 1)],
    ['several bodies', () => toSoup(join(icosphere(3, 4), hollowSphere(5, 1), box(1)))],
    [
      'grid points, each met often',
      () => Float32Array.from({ length: 27_000 }, () => Math.floor(next() * 7) - 3),
    ],
    ['signed zeros', () => Float32Array.from({ length: 2700 }, () => [0, -0, 1][Math.floor(next() * 3)]!)],
    [
      'nothing that joins, many times the room made',
      () => Float32Array.from({ length: 900_000 }, () => next()),
    ],
    // Only the last of three coordinates tells them apart.
    ['points on a line', () => Float32Array.from({ length: 1_800_000 }, (_, i) => (i % 3 < 2 ? 5 : i))],
    ['one point', () => new Float32Array(9 * 5000).fill(7)],
    ['nothing', () => new Float32Array(0)],
  ];
  it.each(soups)('%s', (_name, soupOf) => {
    const soup = soupOf();
    const { mesh } = weldExactly(soupFacets(soup), null, uninterrupted);
    const reference = weldByText(soup);
    expect(mesh.triangles, 'seed 77').toEqual(reference.triangles);
    expect(new Uint32Array(mesh.positions.slice().buffer)).toEqual(
      new Uint32Array(reference.positions.buffer),
    );
  });
});

describe('a file read straight into a mesh is the same as read and welded', () => {
  const shapes: [string, Float32Array][] = [
    ['closed', toSoup(transformed(torus(20, 5, 90, 40), { turn: [10, 20, 30], shift: [1, -2, 3] }))],
    ['open', toSoup(icosphere(9, 4)).slice(0, 9000)],
    [
      'to be closed by a tolerance',
      toSoup(icosphere(9, 4)).map((c, i) => c * (1 + ((i % 7) - 3) * 2 ** -24)),
    ],
  ];
  it.each(shapes)('%s, at any place in its buffer', (_name, soup) => {
    const bytes = stlOf(soup);
    const expected = weld(soup, uninterrupted);
    for (let shift = 0; shift < 4; shift++) {
      const padded = new Uint8Array(bytes.length + 8);
      padded.set(bytes, shift);
      const read = readMesh(padded.subarray(shift, shift + bytes.length), limits, uninterrupted);
      expect(read).toEqual({ ok: true, value: expected });
    }
  });

  it('fails as reading does', () => {
    const good = stlOf(toSoup(box(2)));
    const broken = toSoup(torus(5, 1, 40, 20));
    broken[9 * 700 + 4] = Number.NaN;
    broken[9 * 30 + 8] = Number.NEGATIVE_INFINITY;
    broken[9 * 30 + 1] = Number.POSITIVE_INFINITY;
    for (const bytes of [
      new Uint8Array(0),
      good.slice(0, 60),
      good.slice(0, 200),
      new TextEncoder().encode('solid lantern\nfacet normal 0 0'),
      new TextEncoder().encode('ladder'),
      stlOf(broken),
    ]) {
      const read = readMesh(bytes, limits, uninterrupted);
      expect(read.ok).toBe(false);
      expect(read).toEqual(readStl(bytes, limits, uninterrupted));
    }
    expect(readMesh(stlOf(broken), limits, uninterrupted)).toMatchObject({
      error: {
        code: 'stl-not-finite',
        message: expect.stringMatching(/^2 triangles have .*the first is triangle 31\)/),
      },
    });
    expect(readMesh(good, { maxTriangles: 11 }, uninterrupted)).toMatchObject({
      error: { code: 'stl-too-large' },
    });
  });
});

describe('scattered facets', () => {
  // Turned, so that no corner lies on the border of two cells.
  const figure = transformed(torus(60, 20, 400, 120), { turn: [13, -41, 77] });
  const soup = toSoup(figure);

  it('are told by the steps between them', () => {
    expect(soup.length / 9).toBeGreaterThan(1 << 16);
    expect(isScattered(soupFacets(soup))).toBe(false);
    expect(isScattered(soupFacets(shuffled(soup, 4)))).toBe(true);
    expect(isScattered(soupFacets(shuffled(soup, 4).subarray(0, 9 * 60_000)))).toBe(false);
    expect(isScattered(soupFacets(new Float32Array(9 * 70_000)))).toBe(false);
    expect(isScattered(soupFacets(new Float32Array(9 * 70_000).fill(Number.NaN)))).toBe(false);
  });

  it('come along the curve, those of one cell in their order', () => {
    const mixed = shuffled(soup, 5);
    const order = mortonOrder(soupFacets(mixed), uninterrupted);
    expect(order.toSorted()).toEqual(Uint32Array.from({ length: order.length }, (_, f) => f));
    // The cells span every sixteenth facet's first corner.
    const along = (axis: number) => mixed.filter((_, i) => i % 144 === axis);
    const low = [0, 1, 2].map((axis) => along(axis).reduce((a, b) => Math.min(a, b)));
    const high = [0, 1, 2].map((axis) => along(axis).reduce((a, b) => Math.max(a, b)));
    const size = Math.max(...high.map((value, axis) => value - low[axis]!));
    // Bit by bit: x, y, z of the highest bit first.
    const code = (f: number): string => {
      const cell = [0, 1, 2].map((axis) =>
        Math.max(0, Math.min(63, Math.floor(((mixed[9 * f + axis]! - low[axis]!) / size) * 64)))
          .toString(2)
          .padStart(6, '0'),
      );
      return [...cell[0]!].map((_, bit) => cell[2]![bit]! + cell[1]![bit]! + cell[0]![bit]!).join('');
    };
    for (let i = 1; i < order.length; i++) {
      const before = code(order[i - 1]!);
      const here = code(order[i]!);
      if (before > here || (before === here && order[i - 1]! > order[i]!)) expect.fail(`seed 5, facet ${i}`);
    }
  });

  it('are welded to the same surface, and good order is kept', () => {
    const kept = weld(soup, uninterrupted).mesh;
    expect(kept.triangles).toEqual(weldByText(soup).triangles);
    const mixed = shuffled(soup, 6);
    const mesh = weld(mixed, uninterrupted).mesh;
    expect(facetWords(mesh)).toEqual(facetWords(kept));
    const { signedVolume, area, centroid, ...counts } = reportTopology(mesh, uninterrupted);
    const reference = reportTopology(kept, uninterrupted);
    expect(reference).toMatchObject(counts);
    expect(signedVolume / reference.signedVolume).toBeCloseTo(1, 14);
    expect(area / reference.area).toBeCloseTo(1, 14);
    expect(centroid[0]).toBeCloseTo(reference.centroid[0], 10);
    expect(readMesh(stlOf(mixed), limits, uninterrupted)).toEqual({
      ok: true,
      value: weld(mixed, uninterrupted),
    });
  });

  it('of an unbounded or broken file end in its failure', () => {
    const mixed = shuffled(soup, 7);
    mixed[9 * 50_000] = Number.POSITIVE_INFINITY;
    mixed[9 * 51_000 + 1] = Number.NaN;
    expect(readMesh(stlOf(mixed), limits, uninterrupted)).toEqual(
      readStl(stlOf(mixed), limits, uninterrupted),
    );
    expect(readMesh(stlOf(mixed), limits, uninterrupted)).toMatchObject({
      error: { code: 'stl-not-finite' },
    });
  });

  const facetWords = (mesh: Mesh) => {
    const facets = toSoup(mesh);
    return Array.from({ length: facets.length / 9 }, (_, f) =>
      facets.subarray(9 * f, 9 * f + 9).join(),
    ).sort();
  };
});
