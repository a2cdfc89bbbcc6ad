import { describe, expect, it } from 'vitest';
import { CancelledError, uninterrupted } from '../../../src/core/interrupter.ts';
import { borderPoints } from '../../../src/core/plates/borderPoints.ts';
import type { Footprint } from '../../../src/core/plates/footprint.ts';
import { layOutPlate, type PlatedFootprint, type PlateLayout } from '../../../src/core/plates/layOutPlate.ts';
import type { Place } from '../../../src/core/plates/place.ts';
import { plateGap } from '../../../src/core/plates/plateGap.ts';
import { random } from '../../shapes.ts';
import { blocks, disc, distanceOf, ell, type Rectangle, square, standing } from './shadows.ts';

const free = (footprint: Footprint): PlatedFootprint => ({ footprint, at: null, spin: null });
const put = (footprint: Footprint, x: number, y: number, spin = 0): PlatedFootprint => ({
  footprint,
  at: [x, y],
  spin,
});
const layOut = (
  room: readonly [number, number],
  gapMm: number,
  parts: readonly PlatedFootprint[],
): PlateLayout => layOutPlate({ room, gapMm, parts }, uninterrupted);
const placed = ({ places }: PlateLayout): number => places.filter((place) => place !== null).length;

describe('closed forms of what fits', () => {
  it.each<[string, readonly [number, number], number, Footprint[], number]>([
    ['one that is as large as the room', [188, 116], 3, [blocks([0, 0, 188, 116]).footprint], 1],
    ['one that is a quarter turn too large', [188, 116], 3, [blocks([0, 0, 116, 188]).footprint], 1],
    ['one that is larger than the room', [188, 116], 3, [blocks([0, 0, 188.5, 116]).footprint], 0],
    ['two squares and the gap', [120, 60], 4, [square(58), square(58)], 2],
    ['two squares and no more than half the gap', [118, 60], 4, [square(58), square(58)], 1],
    ['two squares without a gap', [116, 58], 0, [square(58), square(58)], 2],
    ['four squares in two rows', [63, 63], 3, [square(30), square(30), square(30), square(30)], 4],
    ['the fifth of them', [63, 63], 3, [1, 2, 3, 4, 5].map(() => square(30)), 4],
    ['two discs that touch at the gap', [83.5, 40], 3, [disc(20), disc(20)], 2],
    // Corner to corner: centres 43 apart along the diagonal, 43/√2 in x and in y, and two radii.
    ['two discs across a corner', [71.5, 71.5], 3, [disc(20), disc(20)], 2],
    ['two discs across a corner too small', [69.5, 69.5], 3, [disc(20), disc(20)], 1],
    // Arms of 20 mm inside one another: 60 + 20 + 3, where their boxes would need 123.
    ['two Ls that hold one another', [83, 83], 3, [ell(60, 20), ell(60, 20)], 2],
    ['two Ls without that room', [81, 81], 3, [ell(60, 20), ell(60, 20)], 1],
    ['a disc in a ring', [60, 60], 3, [ring(60, 8), disc(18)], 2],
    ['a disc too large for it', [60, 60], 3, [ring(60, 8), disc(20)], 1],
    ['nothing on no plate', [0, 0], 3, [disc(1)], 0],
    ['no parts', [188, 116], 3, [], 0],
  ])('%s', (_, room, gapMm, footprints, expected) => {
    expect(placed(layOut(room, gapMm, footprints.map(free)))).toBe(expected);
  });

  it('a part that is turned on purpose keeps its spin', () => {
    const long = blocks([0, 0, 80, 10]).footprint;
    expect(layOut([100, 100], 3, [{ footprint: long, at: null, spin: 90 }]).places[0]!.spin).toBe(90);
    expect(placed(layOut([100, 40], 3, [{ footprint: long, at: null, spin: 90 }]))).toBe(0);
    expect(layOut([100, 100], 3, [{ footprint: long, at: null, spin: 33 }]).places[0]!.spin).toBe(33);
  });

  it('what no quarter turn fits is tried every 15°', () => {
    // A bar of 110 × 5 in a room of 90 × 90: at 45° it needs (110 + 5)/√2 = 81.3 mm.
    const { places } = layOut([90, 90], 3, [free(blocks([0, 0, 110, 5]).footprint)]);
    expect(places[0]!.spin % 90).toBe(45);
  });

  it('stands in the middle of the plate, all of it together', () => {
    const { places } = layOut([188, 116], 3, [free(square(40)), free(square(20))]);
    const boxes = places.map(
      (place, n) => [place!.at[0] - (n ? 10 : 20), place!.at[0] + (n ? 10 : 20)] as const,
    );
    expect(Math.min(...boxes.map(([low]) => low)) + Math.max(...boxes.map(([, high]) => high))).toBeCloseTo(
      0,
      6,
    );
  });
});

describe('parts placed by hand', () => {
  it('stay where they are, and the others go round them', () => {
    const layout = layOut([100, 40], 3, [free(square(30)), put(square(30), 0, 0, 0), free(square(30))]);
    expect(layout.places[1]).toEqual({ at: [0, 0], spin: 0 });
    expect(placed(layout)).toBe(3);
    expect(layout.nearest!.gapMm).toBeCloseTo(3, 9);
    expect([layout.tooNear, layout.outside]).toEqual([[], []]);
  });

  it.each<[string, PlatedFootprint[], number | null]>([
    ['exactly the gap apart', [put(square(20), -11.5, 0), put(square(20), 11.5, 0)], null],
    ['nearer by half a millimetre', [put(square(20), -11.25, 0), put(square(20), 11.25, 0)], 2.5],
    ['one over the other', [put(square(20), 0, 0), put(square(20), 8, 5)], 0],
    ['one inside the other', [put(square(40), 0, 0), put(disc(3), 2, 1)], 0],
    ['one in the ring of the other', [put(ring(60, 8), 0, 0), put(disc(19), 0, 0)], null],
    ['discs 2 mm apart along a slope', [put(disc(20), 0, 0), put(disc(20), 25.2, 33.6)], 2],
  ])('%s', (_, parts, gap) => {
    const { tooNear, places } = layOut([188, 116], 3, parts);
    expect(places).toEqual(parts.map(({ at, spin }) => ({ at, spin })));
    if (gap === null) expect(tooNear).toEqual([]);
    else {
      expect(tooNear).toHaveLength(1);
      expect(tooNear[0]!.gapMm).toBeGreaterThan(gap - 0.25);
      expect(tooNear[0]!.gapMm).toBeLessThan(gap + 0.05);
    }
  });

  it('beyond the edge are told, with the move that brings them in', () => {
    const { outside } = layOut([100, 80], 3, [put(square(20), 44, -32.5), put(square(20), -40, 30)]);
    expect(outside).toHaveLength(1);
    expect(outside[0]!.beyondMm).toBeCloseTo(4, 4);
    expect(outside[0]!.move![0]).toBeCloseTo(-4, 4);
    expect(outside[0]!.move![1]).toBeCloseTo(2.5, 4);
    const large = layOut([100, 80], 3, [put(blocks([0, 0, 120, 10]).footprint, 0, 0)]);
    expect(large.outside).toMatchObject([{ move: null }]);
  });
});

describe('against brute force', () => {
  it('without a gap what only touches is not told, what lies over another is', () => {
    const beside = (x: number) =>
      layOut([188, 116], 0, [put(square(20), -10, 0), put(square(20), x, 0)]).tooNear;
    expect(beside(10)).toEqual([]);
    expect(beside(9.8)).toEqual([{ first: 0, second: 1, gapMm: 0 }]);
  });

  it('arranged parts keep gap and margin: every pair of rectangles, seeds 1 to 60', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const next = random(seed);
      const parts = Array.from({ length: 2 + Math.floor(6 * next()) }, () => randomBlocks(next));
      const [room, gapMm] = [[60 + 100 * next(), 50 + 60 * next()] as const, 5 * next()];
      const fixed = seed % 3 === 0;
      const task = parts.map(({ footprint }, n) =>
        fixed && n === 0 ? put(footprint, 5, -3, 30) : free(footprint),
      );
      const { places, nearest, tooNear } = layOut(room, gapMm, task);
      const stands = parts.map(
        ({ rectangles }, n) => places[n] && rectangles.map((one) => standing(one, places[n]!)),
      );
      let least = Infinity;
      for (const [second, b] of stands.entries()) {
        for (const a of stands.slice(0, second)) {
          if (!a || !b) continue;
          least = Math.min(least, ...a.flatMap((one) => b.map((other) => distanceOf(one, other))));
        }
        if (fixed && second === 0) continue;
        for (const [x, y] of (b ?? []).flat()) {
          expect(Math.abs(x), `seed ${seed}`).toBeLessThan(room[0] / 2 + 2e-3);
          expect(Math.abs(y), `seed ${seed}`).toBeLessThan(room[1] / 2 + 2e-3);
        }
      }
      expect(tooNear).toEqual([]);
      if (least === Infinity) continue;
      expect(least, `seed ${seed}`).toBeGreaterThan(gapMm - 2e-3);
      expect(nearest!.gapMm, `seed ${seed}`).toBeLessThan(least + 0.05);
      expect(nearest!.gapMm, `seed ${seed}`).toBeGreaterThan(least - 0.25);
    }
  });

  it('finds a place where the lattice has one: a square among obstacles, seeds 1 to 40', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const next = random(seed);
      const side = 8 + 2 * Math.floor(8 * next());
      const obstacles = Array.from({ length: 5 }, () => [
        -35 + Math.round(60 * next()),
        -25 + Math.round(40 * next()),
      ]);
      const parts = [free(square(side)), ...obstacles.map(([x, y]) => put(square(10), x! + 5, y! + 5))];
      const found = layOut([80, 60], 2, parts).places[0] !== null;
      // Whole millimetres are steps of the arrangement too.
      let exists = false;
      for (let x = -40; x + side <= 40; x++) {
        for (let y = -30; y + side <= 30; y++) {
          exists ||= obstacles.every(([ox, oy]) => {
            const dx = Math.max(ox! - (x + side), x - (ox! + 10), 0);
            const dy = Math.max(oy! - (y + side), y - (oy! + 10), 0);
            return Math.hypot(dx, dy) >= 2 && (dx > 0 || dy > 0);
          });
        }
      }
      if (exists) expect(found, `seed ${seed}`).toBe(true);
    }
  });

  it('the gap is measured to −0.25 and +0.05 mm, however parts are spun: seeds 1 to 200', () => {
    for (let seed = 1; seed <= 200; seed++) {
      const next = random(seed);
      const [a, b] = [randomBlocks(next), randomBlocks(next)];
      const place = (): Place => ({
        at: [60 * next() - 30, 60 * next() - 30],
        spin: Math.round(360 * next()),
      });
      const [first, second] = [place(), place()];
      const exact = Math.min(
        ...a.rectangles.flatMap((one) =>
          b.rectangles.map((other) => distanceOf(standing(one, first), standing(other, second))),
        ),
      );
      const found = plateGap(borderPoints(a.footprint, first), borderPoints(b.footprint, second));
      expect(found, `seed ${seed}`).toBeLessThan(exact + 0.05);
      expect(found, `seed ${seed}`).toBeGreaterThan(exact - 0.25);
    }
  });
});

describe('a layout', () => {
  const parts = [ell(50, 12), disc(15), square(25), ring(40, 5)].map(free);

  it('is the same for the same parts', () => {
    expect(layOut([120, 90], 3, parts)).toEqual(layOut([120, 90], 3, parts));
  });

  it('ends when it is cancelled', () => {
    let calls = 0;
    const cancel = () => {
      if (++calls > 20) throw new CancelledError();
    };
    const many = Array.from({ length: 60 }, () => free(disc(15)));
    expect(() => layOutPlate({ room: [188, 116], gapMm: 3, parts: many }, cancel)).toThrow(CancelledError);
  });
});

/** A square frame. */
function ring(side: number, width: number): Footprint {
  const inner = side - width;
  return blocks(
    [0, 0, side, width],
    [0, inner, side, side],
    [0, width, width, inner],
    [inner, width, side, inner],
  ).footprint;
}

/** One to three rectangles that hang together at a corner of the first. */
function randomBlocks(next: () => number): ReturnType<typeof blocks> {
  const size = (): number => 4 + 36 * next();
  const first: Rectangle = [0, 0, size(), size()];
  const more = Array.from({ length: Math.floor(3 * next()) }, (): Rectangle => {
    const [x, y] = [first[2] * next(), first[3] * next()];
    return [x, y, x + size(), y + size()];
  });
  return blocks(first, ...more);
}
