import { describe, expect, it } from 'vitest';
import { halfFit, turnedBounds, turnsToTry } from '../../../src/core/cut/halfFit.ts';
import { principalAxes } from '../../../src/core/cut/principalAxes.ts';
import { type SplitSubject, searchSplits } from '../../../src/core/cut/searchSplits.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { showSide } from '../../../src/core/showSide/showSide.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { box, lathe, random, transformed, turned } from '../../shapes.ts';

const room: Vec3 = [188, 116, 200];
const search = (mesh: Mesh, of: Partial<SplitSubject> = {}) =>
  searchSplits(
    {
      mesh,
      axes: principalAxes(mesh),
      factor: 1,
      turn: [0, 0, 0],
      room,
      show: null,
      plugMm: 8,
      tubes: [],
      ...of,
    },
    uninterrupted,
  );

describe('searching a cut', () => {
  it('a bar is cut in its middle, across', () => {
    const [best] = search(box([300, 40, 30])).best;
    expect(best!.fits).toBe(true);
    expect(Math.abs(best!.toward[0])).toBeCloseTo(1, 6);
    expect(Math.abs(best!.at[0])).toBeLessThan(6);
    expect(best!.areaMm2).toBeCloseTo(1200, 3);
    expect(best!.smallerShare).toBeGreaterThan(0.47);
    expect(best!.back.turn).toEqual([0, 0, 0]);
  });

  it('a waist is where it is cut, if both sides fit', () => {
    const vase = lathe(
      [
        [0, 0],
        [40, 0],
        [40, 120],
        [12, 130],
        [40, 140],
        [40, 230],
        [0, 230],
      ],
      48,
    );
    const [best] = search(vase).best;
    expect(best!.fits).toBe(true);
    expect(best!.at[2]).toBeGreaterThan(126);
    expect(best!.at[2]).toBeLessThan(134);
  });

  it('the back half has room for its plugs too', () => {
    const tower = box([50, 50, 386]);
    const { back, front, fits, at } = search(tower).best[0]!;
    expect(fits).toBe(true);
    // 200 mm at most, 8 of them plug: the plane is 193 to 185 … 192 mm up.
    expect(back.sizeMm[2]).toBeLessThanOrEqual(200);
    expect(at[2] + 193 + 8).toBeCloseTo(back.sizeMm[2], 3);
    expect(193 - at[2]).toBeCloseTo(front.sizeMm[2], 3);
  });

  it('keeps the seam off the show side where another cut is as good', () => {
    const cross = box([210, 210, 20]);
    const face = (y: number): Vec3[] => [
      [-105, y, -10],
      [105, y, -10],
      [105, y, 10],
      [-105, y, 10],
    ];
    // Seen from the front and from behind: a cut across x parts both faces, one across y none.
    const show = showSide([
      { outline: face(-105), facing: [0, -1, 0] },
      { outline: face(105), facing: [0, 1, 0] },
    ]);
    const wide: Vec3 = [220, 116, 60];
    const [best] = search(cross, { show, room: wide }).best;
    expect(best!.shownMm).toBe(0);
    expect(Math.abs(best!.toward[1])).toBeCloseTo(1, 6);
    const across = search(cross, { show, room: wide }).best.find(({ toward }) => Math.abs(toward[0]) > 0.99)!;
    // Two of the four sides of the section, 20 mm each.
    expect(across.shownMm).toBeCloseTo(40, 0);
    expect(across.rimMm).toBeCloseTo(460, 3);
  });

  it('a leaning bar is cut across itself, and at any factor the same', () => {
    const turn: Vec3 = [20, 35, 50];
    const bar = transformed(box([300, 40, 30]), { turn });
    const [best] = search(bar, { turn: [0, 0, 0] }).best;
    const along = turned([1, 0, 0], turn);
    expect(Math.abs(best!.toward.reduce((sum, c, axis) => sum + c * along[axis]!, 0))).toBeGreaterThan(0.999);
    expect(best!.fits).toBe(true);
    // Laid along the plate's axes, to a degree.
    expect([...best!.front.sizeMm].sort((a, b) => b - a)[0]).toBeLessThan(156);
    const small = transformed(bar, { scale: 0.25 });
    const [same] = search(small, { factor: 4 }).best;
    expect(same!.areaMm2).toBeCloseTo(best!.areaMm2, 0);
    expect(same!.cost).toBeCloseTo(best!.cost, 3);
  });

  it('what one cut cannot make fit is cut where least is wanting', () => {
    const [best] = search(box([900, 40, 30])).best;
    expect(best!.fits).toBe(false);
    expect(Math.abs(best!.at[0])).toBeLessThan(20);
  });
});

describe('fits of halves', () => {
  it('bounds in every turn are those of the turned points', () => {
    const next = random(5);
    const turns = turnsToTry([10, 20, 30], []);
    const bounds = turnedBounds(turns);
    const points = Array.from({ length: 50 }, (): Vec3 => [next() * 90, next() * 40, next() * 9]);
    for (const point of points) bounds.take(...point);
    turns.forEach((turn, n) => {
      const along = points.map((point) => turned(point, turn));
      for (const axis of [0, 1, 2] as const) {
        expect(bounds.bounds[n]![2 * axis]).toBeCloseTo(Math.min(...along.map((p) => p[axis])), 9);
        expect(bounds.bounds[n]![2 * axis + 1]).toBeCloseTo(Math.max(...along.map((p) => p[axis])), 9);
      }
    });
  });

  it('a block that fits by some quarter turn is told the first that does', () => {
    const turns = turnsToTry([0, 0, 0], []);
    const fitting = (size: Vec3) => {
      const bounds = turnedBounds(turns);
      bounds.take(0, 0, 0);
      bounds.take(...size);
      return halfFit(bounds, turns, room, 1);
    };
    const sizes = [
      [180, 100, 190],
      [100, 180, 190],
      [180, 190, 100],
      [190, 180, 100],
      [190, 100, 180],
      [100, 190, 180],
    ] as Vec3[];
    for (const size of sizes) {
      const { fits, sizeMm, turn } = fitting(size);
      expect(fits, size.join()).toBe(true);
      expect(sizeMm.map(Math.round)).toEqual(turned(size, turn).map((c) => Math.round(Math.abs(c))));
    }
    expect(fitting([189, 117, 201]).fits).toBe(false);
    expect(fitting([400, 10, 10]).growth).toBeCloseTo(0.5, 6);
  });

  it('principal axes of a turned block are its edges, the longest first', () => {
    const turn: Vec3 = [30, -40, 70];
    const axes = principalAxes(transformed(box([90, 40, 10]), { turn, shift: [300, -20, 5] }));
    for (const [n, edge] of (
      [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ] as Vec3[]
    ).entries()) {
      const way = turned(edge, turn);
      expect(Math.abs(axes[n]!.reduce((sum, c, axis) => sum + c * way[axis]!, 0))).toBeCloseTo(1, 3);
    }
  });
});
