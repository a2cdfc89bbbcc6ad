import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { castFootprint } from '../../../src/core/plates/castFootprint.ts';
import { footprintArea, isUnder } from '../../../src/core/plates/footprint.ts';
import { plateCells } from '../../../src/core/plates/plateCells.ts';
import { withBars } from '../../../src/core/plates/withBars.ts';
import { box, icosphere, join, meshOf, random, reversed, torus, transformed } from '../../shapes.ts';
import { blocks, disc } from './shadows.ts';

describe('the footprint of a mesh', () => {
  it('of a box is its rectangle, to the edge', () => {
    const footprint = castFootprint(box([30.07, 20.3, 12]), uninterrupted);
    expect(footprintArea(footprint)).toBeCloseTo(30.07 * 20.3, 3);
    expect(footprint.minX).toBeCloseTo(-15.035, 5);
    expect(footprint.columns * footprint.cellX).toBeCloseTo(30.07, 4);
  });

  // Conservative: never less than the area, and at most the cells along the border more (perimeter × 1.5 cells).
  it.each([
    ['a disc', disc(20), Math.PI * 400, 2 * Math.PI * 20],
    ['a ball', castFootprint(icosphere(15, 5), uninterrupted), Math.PI * 225, 2 * Math.PI * 15],
    ['a ring', castFootprint(torus(20, 4, 360, 48), uninterrupted), Math.PI * (576 - 256), 2 * Math.PI * 40],
    ['an L', blocks([0, 0, 40, 10], [0, 0, 10, 40]).footprint, 700, 160],
  ])('of %s covers its shadow, and no more than a cell round it', (_, footprint, area, border) => {
    const found = footprintArea(footprint);
    expect(found).toBeGreaterThan(0.998 * area);
    expect(found).toBeLessThan(area + 1.5 * 0.1 * border);
  });

  it('a hole through a part stays free', () => {
    const ring = castFootprint(torus(20, 4, 360, 48), uninterrupted);
    expect([
      isUnder(ring, 0, 0),
      isUnder(ring, 15.8, 0),
      isUnder(ring, 16.2, 0),
      isUnder(ring, 25, 0),
    ]).toEqual([false, false, true, false]);
  });

  it('of slanted and upright facets is what they touch: every cell against a test of separating axes', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const next = random(seed);
      const corners = Array.from({ length: 9 }, (_, n) => (n % 3 === 2 ? 5 : 4) * next() - 1);
      const mesh = meshOf(corners, [0, 1, 2]);
      const footprint = castFootprint(mesh, uninterrupted);
      const { minX, minY, cellX, cellY, columns, rows } = footprint;
      const flat = [0, 3, 6].map((at) => [corners[at]!, corners[at + 1]!] as const);
      for (let row = 0; row < rows; row++) {
        for (let column = 0; column < columns; column++) {
          const low = [minX + column * cellX, minY + row * cellY] as const;
          const inset = (by: number) => touches(flat, low, [cellX, cellY], by);
          const marked = isUnder(footprint, low[0] + cellX / 2, low[1] + cellY / 2);
          // Within a hundredth of a cell of its edge either answer is right.
          if (inset(0.01)) expect([seed, row, column, marked]).toEqual([seed, row, column, true]);
          else if (!inset(-0.01)) expect([seed, row, column, marked]).toEqual([seed, row, column, false]);
        }
      }
    }
  });

  it.each([
    ['a box', box([30.07, 20.3, 12])],
    ['a turned box', transformed(box([30, 20, 12]), { turn: [25, 40, 70] })],
    ['a ball', icosphere(15, 5)],
    ['a leaning ring', transformed(torus(20, 4, 360, 48), { turn: [60, 20, 0] })],
    ['a ball in a ball, inside out', join(icosphere(9, 3), reversed(icosphere(5, 3)))],
  ])('of a closed %s is told by what faces down alone', (_, mesh) => {
    expect(castFootprint(mesh, uninterrupted, true)).toEqual(castFootprint(mesh, uninterrupted));
  });

  it('of a plate that faces up alone is nothing, taken for closed', () => {
    const plate = meshOf([0, 0, 1, 9, 0, 1, 0, 9, 1], [0, 1, 2]);
    expect(footprintArea(castFootprint(plate, uninterrupted, true))).toBe(0);
    expect(footprintArea(castFootprint(plate, uninterrupted))).toBeGreaterThan(40);
  });

  it('of a part of metres has bounded cells, of one without width a cell', () => {
    const huge = castFootprint(box([9000, 4000, 5]), uninterrupted);
    expect(huge.columns * huge.rows).toBeLessThan(4.1e6);
    expect(footprintArea(huge)).toBeCloseTo(36e6, -1);
    const long = castFootprint(box([1e6, 0.05, 5]), uninterrupted);
    expect(long.columns).toBeLessThanOrEqual(20_000);
    const wall = castFootprint(meshOf([1, 2, 0, 1, 2, 5, 1, 2, 9], [0, 1, 2]), uninterrupted);
    expect([wall.columns, wall.rows, wall.ends.length]).toEqual([1, 1, 2]);
  });

  it('listens to a cancel', () => {
    expect(() =>
      castFootprint(icosphere(5, 3), () => {
        throw new Error('cancelled');
      }),
    ).toThrow('cancelled');
  });
});

it('spun into the cells of a plate it is all there, and no cell more than touches it: seeds 1 to 60', () => {
  const cellMm = 0.03;
  for (let seed = 1; seed <= 60; seed++) {
    const next = random(seed);
    const [width, depth] = [0.5 + next(), 0.5 + next()];
    const { footprint } = blocks([0, 0, width, depth]);
    const spin = seed % 4 === 0 ? 90 * (seed % 5) : 360 * next();
    const anchor = [next() - 0.5, next() - 0.5] as const;
    const { column, row, columns, rows, cells } = plateCells(footprint, spin, anchor, cellMm);
    const turn = (spin * Math.PI) / 180;
    for (let r = -1; r <= rows; r++) {
      for (let c = -1; c <= columns; c++) {
        const marked = r >= 0 && r < rows && c >= 0 && c < columns && cells[r * columns + c] === 1;
        const [x, y] = [anchor[0] + (column + c + 0.5) * cellMm, anchor[1] + (row + r + 0.5) * cellMm];
        const across = Math.abs(Math.cos(turn) * x + Math.sin(turn) * y) - width / 2;
        const along = Math.abs(Math.cos(turn) * y - Math.sin(turn) * x) - depth / 2;
        // The middle of a cell: inside by a hair, or farther outside than any point of its cell.
        if (Math.max(across, along) < -1e-4) expect([seed, r, c, marked]).toEqual([seed, r, c, true]);
        if (Math.max(across, along) > 0.72 * cellMm)
          expect([seed, r, c, marked]).toEqual([seed, r, c, false]);
      }
    }
  }
});

describe('the footprint with supports', () => {
  const alone = castFootprint(transformed(box(10), { shift: [0, 0, 8] }), uninterrupted);
  const strut = (x: number, y: number) => ({
    from: [4, 0, 3] as const,
    to: [x, y, 0] as const,
    fromRadius: 1,
    toRadius: 3,
  });

  it('is that of the part where they stand under it', () => {
    const bar = { from: [0, 0, 3], to: [0, 0, 0], fromRadius: 1, toRadius: 3 } as const;
    expect(withBars(alone, [bar])).toEqual(alone);
    expect(withBars(alone, [])).toEqual(alone);
  });

  it('reaches as far as a foot beyond the part, on every side, and keeps the part', () => {
    const held = withBars(alone, [strut(20, 0), strut(-20, 0), strut(0, 30), strut(0, -30)]);
    expect(held.minX).toBeCloseTo(-23, 0);
    expect(held.minY).toBeCloseTo(-33, 0);
    const at = (x: number, y: number): boolean => isUnder(held, x, y);
    expect([at(22.8, 0), at(-22.8, 0), at(0, 32.8), at(0, -32.8)]).toEqual([true, true, true, true]);
    expect([at(23.3, 0), at(-23.3, 0), at(0, 33.3), at(20, 20)]).toEqual([false, false, false, false]);
    expect([at(4.9, 4.9), at(-4.9, -4.9), at(14, 0), at(14, 2.9)]).toEqual([true, true, true, false]);
  });
});

/** Whether a triangle meets a box that is smaller by a part of itself all round, by the five axes that can part them. */
function touches(
  triangle: readonly (readonly [number, number])[],
  [x, y]: readonly [number, number],
  [width, depth]: readonly [number, number],
  smaller: number,
): boolean {
  const [ix, iy] = [width * smaller, depth * smaller];
  const corners = [
    [x + ix, y + iy],
    [x + width - ix, y + iy],
    [x + ix, y + depth - iy],
    [x + width - ix, y + depth - iy],
  ] as const;
  const axes = [
    [1, 0],
    [0, 1],
    ...triangle.map((p, n) => {
      const q = triangle[(n + 1) % 3]!;
      return [q[1] - p[1], p[0] - q[0]] as const;
    }),
  ] as const;
  return axes.every(([ax, ay]) => {
    const along = (points: readonly (readonly [number, number])[]) =>
      points.map(([px, py]) => ax * px + ay * py);
    const [a, b] = [along(triangle), along(corners)];
    return Math.max(...a) >= Math.min(...b) && Math.max(...b) >= Math.min(...a);
  });
}
