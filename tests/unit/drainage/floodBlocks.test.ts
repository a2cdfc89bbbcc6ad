import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ChamberCells } from '../../../src/core/chambers/chamberCells.ts';
import { blockChamber } from '../../../src/core/drainage/blockChamber.ts';
import type { ChamberMouth } from '../../../src/core/drainage/chamberMouth.ts';
import { floodBlocks } from '../../../src/core/drainage/floodBlocks.ts';
import { leftShares } from '../../../src/core/drainage/leftInBlocks.ts';
import { mouthLevels } from '../../../src/core/drainage/mouthLevels.ts';
import { mouthNodes } from '../../../src/core/drainage/mouthNodes.ts';
import { normalized, scale, type Vec3 } from '../../../src/core/vector.ts';
import { ball, block, cellsOf, ring, together } from './cellsOf.ts';

const wall = 1.5;
/** A bore straight into the chamber at `inner`. */
const mouthAt = (inner: Vec3, axis: Vec3, radius: number): ChamberMouth => ({
  id: 'drains/0',
  inner,
  outer: inner.map((c, i) => c - wall * axis[i]!) as unknown as Vec3,
  axis,
  radius,
});

function leftMm3(cells: ChamberCells, edge: number, mouths: readonly ChamberMouth[], up: Vec3): number {
  const blocks = blockChamber(cells, 0, edge);
  const outlets = mouths.flatMap((mouth) =>
    mouthNodes(blocks, mouth).map((node) => ({ node, level: mouthLevels(mouth, up).sill })),
  );
  const shares = leftShares(blocks, floodBlocks(blocks, up, outlets), up);
  return blocks.volumeMm3.reduce((sum, volume, node) => sum + volume * shares[node]!, 0);
}

describe.each([1, 2, 5])('blocks of %i cells', (edge) => {
  it('keeps every cell once, and the volume', () => {
    const cells = cellsOf([ball([0, 0, 0], 20)], [-20, -20, -20], [20, 20, 20], 1);
    const blocks = blockChamber(cells, 0, edge);
    const volume = blocks.volumeMm3.reduce((sum, each) => sum + each, 0);
    expect(volume).toBeCloseTo(cells.index.length, 3);
    expect(volume / ((4 / 3) * Math.PI * 20 ** 3)).toBeCloseTo(1, 1.7);
    if (edge === 1) expect(blocks.clearance.length).toBe(cells.index.length);
  });

  it.each([2.3, 4.4, 9.1])('leaves a box full to the sill of a hole in its side, %f mm up', (sill) => {
    const cells = cellsOf([block([0, 0, 0], [40, 30, 20])], [0, 0, 0], [40, 30, 20], 1);
    const mouth = mouthAt([40, 15, sill + 2], [-1, 0, 0], 2);
    expect(leftMm3(cells, edge, [mouth], [0, 0, 1]) / (40 * 30 * sill)).toBeCloseTo(1, 2);
    // Turned over, the hole is that much nearer to the top.
    expect(leftMm3(cells, edge, [mouth], [0, 0, -1]) / (40 * 30 * (20 - sill - 4))).toBeCloseTo(1, 2);
  });

  it('leaves the cap of a sphere below a hole in its side', () => {
    // A hole of 6 mm at the equator of a sphere of 20 mm: liquid to 3 mm under the middle.
    const cells = cellsOf([ball([0, 0, 0], 20)], [-20.3, -20.4, -20.1], [20.7, 20.6, 20.9], 0.8);
    const left = leftMm3(cells, edge, [mouthAt([20, 0, 0], [-1, 0, 0], 3)], [0, 0, 1]);
    const height = 17;
    expect(left / ((Math.PI * height ** 2 * (3 * 20 - height)) / 3)).toBeCloseTo(1, 1.5);
  });

  it('leaves nothing in a sphere with the hole at its lowest point, from any side', () => {
    const cells = cellsOf([ball([0, 0, 0], 20)], [-20.3, -20.4, -20.1], [20.7, 20.6, 20.9], 0.8);
    for (const up of [
      [0, 0, 1],
      [0, -1, 0],
      [1, 2, 3],
      [-3, 1, -2],
    ] as Vec3[]) {
      const axis = normalized(up);
      const mouth = mouthAt(scale(axis, -20), axis, 3);
      const left = leftMm3(cells, edge, [mouth], axis);
      expect(left / ((4 / 3) * Math.PI * 20 ** 3)).toBeLessThan(0.003);
    }
  });

  it('leaves the lower half of a ring on edge that opens at its side', () => {
    // Axis of the ring level: a hole at the side, at the height of its middle, frees the upper half.
    const cells = cellsOf([ring(20, 6)], [-26, -26, -6], [26, 26, 6], 1);
    const left = leftMm3(cells, edge, [mouthAt([26, 0, 0], [-1, 0, 0], 1)], [0, 1, 0]);
    const half = Math.PI ** 2 * 20 * 6 ** 2;
    // Up to the mouth's lower edge, 1 mm under the middle: two tubes of 6 mm radius less.
    expect(left / (half - 2 * Math.PI * 6 ** 2)).toBeCloseTo(1, 1.5);
  });

  it('leaves a second chamber full to the neck that joins it', () => {
    // Two boxes, a neck of 4 mm height whose floor lies 6 mm up; the first drains at its floor.
    const cells = cellsOf(
      [
        together(
          block([0, 0, 0], [20, 20, 20]),
          block([19, 8, 6], [31, 12, 10]),
          block([30, 0, 0], [50, 20, 20]),
        ),
      ],
      [0, 0, 0],
      [50, 20, 20],
      1,
    );
    const left = leftMm3(cells, edge, [mouthAt([10, 10, 0], [0, 0, 1], 3)], [0, 0, 1]);
    expect(left / (20 * 20 * 6)).toBeCloseTo(1, 1.3);
  });
});

it('must rise to the higher lower edge of a bore, whichever end that is at', () => {
  // 4 mm wide, 5 mm long, rising outward and falling outward by 3 in 5.
  const rising: ChamberMouth = {
    id: 'vents/0',
    inner: [0, 0, 10],
    outer: [4, 0, 13],
    axis: [-0.8, 0, -0.6],
    radius: 2,
  };
  const falling: ChamberMouth = { ...rising, outer: [4, 0, 7], axis: [-0.8, 0, 0.6] };
  const edge = 2 * 0.8;
  expect(mouthLevels(rising, [0, 0, 1]).sill).toBeCloseTo(13 - edge, 12);
  expect(mouthLevels(falling, [0, 0, 1]).sill).toBeCloseTo(10 - edge, 12);
  expect(mouthLevels(falling, [0, 0, 1]).exit).toBeCloseTo(7 - edge, 12);
  expect(mouthLevels(falling, [0, 0, 1]).top).toBeCloseTo(10 + edge, 12);
});

it('takes the cells of its own chamber, and joins nothing through the wall between two', () => {
  const cells = cellsOf(
    [block([0, 0, 0], [10, 10, 10]), block([10, 0, 0], [20, 10, 10])],
    [0, 0, 0],
    [20, 10, 10],
    1,
  );
  for (const chamber of [0, 1]) {
    const { volumeMm3, centroid, neighbour } = blockChamber(cells, chamber, 4);
    expect(volumeMm3.reduce((sum, volume) => sum + volume, 0)).toBe(1000);
    for (let node = 0; node < volumeMm3.length; node++) {
      expect(Math.floor(centroid[3 * node]! / 10)).toBe(chamber);
    }
    // Blocks of four cells on 10 mm, cut by the chamber's end at x = 10: 3 × 3 × 3 and their 54 contacts.
    expect([volumeMm3.length, neighbour.length]).toEqual([27, 108]);
  }
});

/** The highest point of the best way out, by letting levels sink until none does. */
function bruteLevels(cells: ChamberCells, low: Float64Array, outlets: ReadonlyMap<number, number>): number[] {
  const level = Array.from(low, () => Infinity);
  const [w, h] = cells.size;
  const place = new Map([...cells.index].map((at, cell) => [at, cell]));
  for (let changed = true; changed; ) {
    changed = false;
    cells.index.forEach((at, cell) => {
      const x = at % w;
      const y = Math.floor(at / w) % h;
      const around = [
        x > 0 ? at - 1 : -1,
        x < w - 1 ? at + 1 : -1,
        y > 0 ? at - w : -1,
        y < h - 1 ? at + w : -1,
        at - w * h,
        at + w * h,
      ];
      let best = outlets.get(cell) ?? Infinity;
      for (const next of around) {
        const other = place.get(next);
        if (other !== undefined) best = Math.min(best, Math.max(low[cell]!, level[other]!));
      }
      if (best < level[cell]!) {
        level[cell] = best;
        changed = true;
      }
    });
  }
  return level;
}

it('comes to what levels that sink one by one come to, on random cells', () => {
  fc.assert(
    fc.property(
      fc.array(fc.boolean(), { minLength: 120, maxLength: 120 }),
      fc.array(fc.tuple(fc.nat(119), fc.double({ min: -3, max: 12, noNaN: true })), {
        minLength: 1,
        maxLength: 4,
      }),
      fc.tuple(
        fc.integer({ min: -5, max: 5 }),
        fc.integer({ min: -5, max: 5 }),
        fc.integer({ min: 1, max: 5 }),
      ),
      (filled, holes, way) => {
        const index = Uint32Array.from(filled.flatMap((one, at) => (one ? [at] : [])));
        if (index.length === 0) return;
        const cells: ChamberCells = {
          origin: [0, 0, 0],
          spacing: 1,
          size: [4, 5, 6],
          index,
          chamber: new Uint16Array(index.length),
          clearance: new Float32Array(index.length).fill(0.5),
        };
        const up = normalized(way as Vec3);
        const outlets = new Map(holes.map(([at, level]) => [at % index.length, level]));
        const blocks = blockChamber(cells, 0, 1);
        const given = [...outlets].map(([node, level]) => ({ node, level }));
        const flood = floodBlocks(blocks, up, given);
        expect([...flood.level]).toEqual(bruteLevels(cells, flood.low, outlets));
      },
    ),
    { seed: 20261126, numRuns: 300 },
  );
});
