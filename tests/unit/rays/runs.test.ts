import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { buildRayGrid } from '../../../src/core/rays/buildRayGrid.ts';
import { checkGridLoad } from '../../../src/core/rays/checkGridLoad.ts';
import { findRun } from '../../../src/core/rays/findRun.ts';
import { intersectRuns } from '../../../src/core/rays/intersectRuns.ts';
import { labelledRuns } from '../../../src/core/rays/labelledRuns.ts';
import type { Lattice } from '../../../src/core/rays/lattice.ts';
import { latticeFor } from '../../../src/core/rays/latticeFor.ts';
import type { Runs } from '../../../src/core/rays/runs.ts';
import { runsVolume } from '../../../src/core/rays/runsVolume.ts';
import { sampleIndex } from '../../../src/core/rays/sampleIndex.ts';
import { sliceLayer } from '../../../src/core/rays/sliceLayer.ts';
import { solidRuns } from '../../../src/core/rays/solidRuns.ts';
import { sortCrossings } from '../../../src/core/rays/sortCrossings.ts';
import { subtractRuns } from '../../../src/core/rays/subtractRuns.ts';
import { uniteRuns } from '../../../src/core/rays/uniteRuns.ts';
import { voidRuns } from '../../../src/core/rays/voidRuns.ts';
import { box, join, random, transformed } from '../../shapes.ts';
import { boundsOf } from '../layers/printing.ts';

const WIDTH = 24;
const LATTICE: Lattice = { y0: 0, dy: 1, rows: 3, z0: 0, dz: 1, layers: 2 };

/** A region drawn on unit cells. */
function fromCells(lattice: Lattice, filled: (row: number, cell: number) => boolean, width = WIDTH): Runs {
  const offsets = [0];
  const ends: number[] = [];
  for (let row = 0; row < lattice.rows * lattice.layers; row++) {
    for (let cell = 0; cell < width; cell++) {
      if (!filled(row, cell)) continue;
      if (cell === 0 || !filled(row, cell - 1)) ends.push(cell);
      if (cell === width - 1 || !filled(row, cell + 1)) ends.push(cell + 1);
    }
    offsets.push(ends.length / 2);
  }
  return { lattice, offsets: Uint32Array.from(offsets), ends: Float32Array.from(ends) };
}

describe('run algebra', () => {
  test('agrees with cells on random regions, touching ends included', () => {
    for (let seed = 1; seed <= 200; seed++) {
      const next = random(seed);
      const cells = [0, 1].map(() => Array.from({ length: 6 * WIDTH }, () => next() < 0.6));
      const at = (which: number) => (row: number, cell: number) => cells[which]![row * WIDTH + cell]!;
      const [a, b] = [at(0), at(1)];
      const [runsA, runsB] = [fromCells(LATTICE, a), fromCells(LATTICE, b)];
      const cases: [Runs, (row: number, cell: number) => boolean][] = [
        [uniteRuns(runsA, runsB), (r, c) => a(r, c) || b(r, c)],
        [intersectRuns(runsA, runsB), (r, c) => a(r, c) && b(r, c)],
        [subtractRuns(runsA, runsB), (r, c) => a(r, c) && !b(r, c)],
      ];
      for (const [got, want] of cases) expect(got, `seed ${seed}`).toEqual(fromCells(LATTICE, want));
    }
  });

  test('regions of different lattices are refused', () => {
    const other = fromCells({ ...LATTICE, layers: 1 }, () => true);
    expect(() =>
      uniteRuns(
        fromCells(LATTICE, () => true),
        other,
      ),
    ).toThrow('different lattices');
  });

  test('touching runs of a second operand leave no empty run', () => {
    const lattice = { ...LATTICE, rows: 1, layers: 1 };
    const one: Runs = { lattice, offsets: Uint32Array.of(0, 1), ends: Float32Array.of(0, 10) };
    const touching: Runs = { lattice, offsets: Uint32Array.of(0, 2), ends: Float32Array.of(2, 4, 4, 6) };
    expect([...subtractRuns(one, touching).ends]).toEqual([0, 2, 6, 10]);
    expect([...intersectRuns(one, touching).ends]).toEqual([2, 6]);
  });

  test('the void is the complement within a rectangle that clears the part', () => {
    const region = fromCells(LATTICE, (row, cell) => row === 1 && cell >= 4 && cell < 9);
    const empty = voidRuns(region);
    expect([empty.xLow, empty.xHigh]).toEqual([3, 10]);
    expect(runsVolume(empty)).toBe(6 * 7 - 5);
    expect([...empty.ends.subarray(2, 6)]).toEqual([3, 4, 9, 10]);
    expect(runsVolume(voidRuns(fromCells(LATTICE, () => false)))).toBe(6 * 2);
  });

  test('points are found in their run, ends included, gaps not', () => {
    const region = fromCells(LATTICE, (_, cell) => cell % 4 < 2);
    expect(findRun(region, 2, 0.5)).toBe(region.offsets[2]);
    expect(findRun(region, 2, 5.9)).toBe(region.offsets[2]! + 1);
    expect(findRun(region, 2, 6)).toBe(region.offsets[2]! + 1);
    expect(findRun(region, 2, 3)).toBe(-1);
    expect(findRun(region, 2, -1)).toBe(-1);
    expect(findRun(region, 2, 99)).toBe(-1);
  });

  test('a slice holds one layer and its own z', () => {
    const region = fromCells(LATTICE, (row, cell) => row === 4 && cell < 3);
    expect(runsVolume(sliceLayer(region, 0))).toBe(0);
    const top = sliceLayer(region, 1);
    expect([...top.offsets]).toEqual([0, 0, 1, 1]);
    expect([...top.ends]).toEqual([0, 3]);
    expect(top.lattice.z0).toBe(1);
  });
});

describe('labelled runs', () => {
  test('carry the chamber of the facet they enter by', () => {
    const mesh = transformed(join(box(4), transformed(box(4), { shift: [10, 0, 0] })), { shift: [0, 0, 3] });
    const facetChamber = Uint32Array.from({ length: 24 }, (_, f) => (f < 12 ? 7 : 9));
    const grid = buildRayGrid(mesh, latticeFor(boundsOf(mesh), 0.5, 0.5), uninterrupted, { facets: true });
    const runs = labelledRuns(grid, facetChamber);
    expect(runsVolume(runs)).toBeCloseTo(128, 4);
    expect(runs.label.length).toBe(runs.ends.length / 2);
    for (let run = 0; run < runs.label.length; run++) {
      expect(runs.label[run]).toBe(runs.ends[2 * run]! < 4 ? 7 : 9);
    }
    expect([...solidRuns(grid).ends]).toEqual([...runs.ends]);
  });
});

describe('samples', () => {
  test('the index is the first sample not below the value, in the arithmetic of the lattice', () => {
    const next = random(5);
    for (let round = 0; round < 2000; round++) {
      const start = (next() - 0.5) * 100;
      const step = 0.01 + next();
      const at = Math.floor(next() * 50);
      const value = next() < 0.5 ? start + (at + 0.5) * step : start + next() * 50 * step;
      const index = sampleIndex(value, start, step, 50);
      if (index > 0) expect(start + (index - 0.5) * step).toBeLessThan(value);
      if (index < 50) expect(start + (index + 0.5) * step).toBeGreaterThanOrEqual(value);
    }
    expect(sampleIndex(Number.NEGATIVE_INFINITY, 0, 1, 9)).toBe(0);
    expect(sampleIndex(Number.POSITIVE_INFINITY, 0, 1, 9)).toBe(9);
    expect(sampleIndex(Number.NaN, 0, 1, 9)).toBe(0);
  });

  test('sorting is by x, then entering first, then facet, for short and long rows', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const next = random(seed);
      const count = seed % 2 ? 12 : 300;
      const rows = Array.from({ length: count }, (_, facet) => ({
        x: Math.floor(next() * 8),
        jump: next() < 0.5 ? 1 : -1,
        facet: (facet * 31) % count,
      }));
      const x = Float32Array.from(rows, (r) => r.x);
      const jump = Int8Array.from(rows, (r) => r.jump);
      const facet = Uint32Array.from(rows, (r) => r.facet);
      sortCrossings(Uint32Array.of(0, count), x, jump, facet, uninterrupted, 0, 1);
      rows.sort((a, b) => a.x - b.x || b.jump - a.jump || a.facet - b.facet);
      expect([...x], `seed ${seed}`).toEqual(rows.map((r) => r.x));
      expect([...jump], `seed ${seed}`).toEqual(rows.map((r) => r.jump));
      expect([...facet], `seed ${seed}`).toEqual(rows.map((r) => r.facet));
    }
  });
});

describe('checkGridLoad', () => {
  test('estimates the crossings of a box and refuses a part far too large', () => {
    const mesh = transformed(box(40), { shift: [0, 0, 20] });
    const load = checkGridLoad(mesh, latticeFor(boundsOf(mesh), 0.1, 0.05));
    expect(load).toEqual({ ok: true, value: { crossings: expect.closeTo((2 * 40 * 40) / 0.005, -1) } });
    const huge = transformed(mesh, { scale: 100 });
    const refused = checkGridLoad(huge, latticeFor(boundsOf(huge), 0.1, 0.05));
    expect(refused.ok === false && refused.error.code).toBe('grid-too-large');
    const endless = { min: [0, 0, 0], max: [0, Number.POSITIVE_INFINITY, 1] } as const;
    expect(checkGridLoad(mesh, latticeFor(endless, 0.1, 0.05)).ok).toBe(false);
  });
});
