import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { buildRayGrid } from '../../../src/core/rays/buildRayGrid.ts';
import type { RayGrid } from '../../../src/core/rays/rayGrid.ts';
import { combineRow, takeOutNested } from '../../../src/core/rays/rowRuns.ts';
import { castTwice } from '../../oracles/castTwice.ts';
import { random } from '../../shapes.ts';

/** Facets of every size at random, so large that they span many bands or so small that no ray meets them. */
function randomFacets(next: () => number, facets: number): Mesh {
  const positions = new Float32Array(9 * facets);
  for (let f = 0; f < facets; f++) {
    const size = 40 * next() ** 6;
    const centre = [next() * 20, next() * 20, next() * 20];
    for (let i = 0; i < 9; i++) positions[9 * f + i] = centre[i % 3]! + (next() - 0.5) * size;
  }
  return { positions, triangles: Uint32Array.from({ length: 3 * facets }, (_, i) => i) };
}

/** Compares by bytes: element by element takes minutes for millions. */
function expectSameGrid(grid: RayGrid, twin: RayGrid, told: string): void {
  expect(grid.lattice).toEqual(twin.lattice);
  for (const key of ['offsets', 'x', 'jump', 'facet'] as const) {
    const [own, other] = [grid[key], twin[key]];
    expect(own?.length, `${told}, ${key}`).toBe(other?.length);
    if (own && other) expect(Buffer.compare(bytesOf(own), bytesOf(other)), `${told}, ${key}`).toBe(0);
  }
}

const bytesOf = ({ buffer, byteOffset, byteLength }: ArrayBufferView): Uint8Array =>
  new Uint8Array(buffer, byteOffset, byteLength);

describe('casting band by band', () => {
  test('gives the bits of casting all at once, facets beyond the lattice and across bands included', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const next = random(seed);
      const mesh = randomFacets(next, 1 + Math.floor(next() * 600));
      const lattice = {
        y0: next() * 5,
        dy: 0.05 + next(),
        rows: 1 + Math.floor(next() * 60),
        z0: next() * 4 - 2,
        dz: 0.02 + 0.2 * next(),
        layers: Math.floor(next() * 400),
      };
      for (const facets of [false, true]) {
        const grid = buildRayGrid(mesh, lattice, uninterrupted, { facets });
        expectSameGrid(grid, castTwice(mesh, lattice, uninterrupted, { facets }), `seed ${seed}`);
      }
    }
  });

  test('makes room for far more crossings than facets', () => {
    const wall = (x: number) => [x, 0, 0, x, 90, 0, x, 0, 90];
    const mesh = {
      positions: new Float32Array([...wall(0), ...wall(1)]),
      triangles: Uint32Array.from([0, 1, 2, 3, 4, 5]),
    };
    const lattice = { y0: -1, dy: 0.1, rows: 950, z0: -1, dz: 0.1, layers: 950 };
    const grid = buildRayGrid(mesh, lattice, uninterrupted);
    expect(grid.x.length).toBeGreaterThan(8e5);
    expectSameGrid(grid, castTwice(mesh, lattice, uninterrupted), 'two walls');
  });
});

describe('taking nested runs out of a row', () => {
  test('gives the bits of weighing every end, or says that they do not lie so', () => {
    let nested = 0;
    for (let seed = 1; seed <= 4000; seed++) {
      const next = random(seed);
      const pick = (count: number, range: number) =>
        Float32Array.from(
          [...new Set(Array.from({ length: count }, () => Math.floor(next() * range)))].sort((a, b) => a - b),
        );
      const even = (values: Float32Array) => values.subarray(0, values.length & ~1);
      const outer = even(pick(4, 12));
      const inner = even(pick(4, 12));
      const out = new Float32Array(20);
      const twin = new Float32Array(20);
      const stop = takeOutNested(outer, 0, outer.length, inner, 0, inner.length, out, 2);
      if (stop < 0) continue;
      if (inner.length > 0) nested++;
      const twinStop = combineRow(outer, 0, outer.length, inner, 0, inner.length, 0b0010, twin, 2);
      expect([...out.subarray(2, stop)], `seed ${seed}`).toEqual([...twin.subarray(2, twinStop)]);
    }
    expect(nested).toBeGreaterThan(100);
  });
});
