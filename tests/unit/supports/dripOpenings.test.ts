import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { intervalSets, labelIntervals, layerIntervals } from '../../../src/core/layers/labelIntervals.ts';
import { type RunsByLayer, rowsOfLayer } from '../../../src/core/rays/runsByLayer.ts';
import { dripOpenings, type RaftFoot } from '../../../src/core/supports/dripOpenings.ts';
import { shareLeft } from '../../../src/core/supports/shareLeft.ts';
import type { Bar } from '../../../src/core/supports/supportBodies.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import { shapeSupports } from '../../../src/solid/shapeSupports.ts';
import { solidAt } from './supported.ts';

const RAFT_MM = 1.2;
const foot = (x: number, y: number, radiusMm = 3): RaftFoot => ({
  x,
  y,
  radiusMm,
  lipMm: 1.2,
  strutMm: 1,
  leastShare: 0,
});
/** Feet of 3 mm about a pocket: their middles on a circle of `radius`. */
const ring = (count: number, radius: number, change: Partial<RaftFoot> = {}): RaftFoot[] =>
  Array.from({ length: count }, (_, n) => {
    const angle = (2 * Math.PI * (n + 0.2)) / count;
    return { ...foot(radius * Math.cos(angle), radius * Math.sin(angle)), ...change };
  });

/** Feet with their struts as the solid that is written, in layers of 0.1 mm. */
async function raftOf(
  feet: readonly RaftFoot[],
  trims: ReturnType<typeof dripOpenings>,
): Promise<RunsByLayer> {
  const bars = feet.flatMap(({ x, y, radiusMm, lipMm, strutMm }, n): Bar[] => [
    {
      from: [x, y, RAFT_MM],
      to: [x, y, 0],
      fromRadius: radiusMm + lipMm,
      toRadius: radiusMm,
      trims: trims[n]!,
    },
    { from: [x, y, 8], to: [x, y, 0], fromRadius: strutMm / 2, toRadius: strutMm / 2 },
  ]);
  const made = shapeSupports(await openSolid(), bars, uninterrupted);
  if (!made.ok) throw new Error(made.error.message);
  return solidAt(made.value, 0.1, 0.1).solid;
}

/** What is smaller holds a drop at most, mm². */
const DROP_MM2 = 0.5;

/** By layer of the raft: how many regions of void there are that hold more than a drop, the outside among them. */
function voidsOf(solid: RunsByLayer): number[] {
  const { lattice } = solid;
  return Array.from({ length: Math.round(RAFT_MM / 0.1) }, (_, layer) => {
    const { offsets, ends, base } = rowsOfLayer(solid, layer);
    const labels = layerIntervals();
    labelIntervals({ offsets, ends, base }, lattice.rows, -50, 50, intervalSets(), labels);
    const areas = new Float64Array(labels.regions);
    for (let row = 0; row < lattice.rows; row++) {
      const [first, last] = [2 * offsets[base + row]!, 2 * offsets[base + row + 1]!];
      // Void and solid take turns, void first and last.
      for (let at = first; at <= last; at += 2) {
        const [from, to] = [at === first ? -50 : ends[at - 1]!, at === last ? 50 : ends[at]!];
        areas[labels.label[at - 2 * offsets[base]! + row]!]! += (to - from) * lattice.dy;
      }
    }
    return areas.filter((area) => area > DROP_MM2).length;
  });
}

const open = (feet: readonly RaftFoot[]) => dripOpenings(feet, uninterrupted);
const none = (feet: readonly RaftFoot[]) => feet.map(() => []);

describe('drip openings of the raft', () => {
  test('a ring of feet round a pocket: closed in every layer of the raft without, open to the outside in every one with', async () => {
    const feet = ring(8, 6.5);
    expect(new Set(voidsOf(await raftOf(feet, none(feet))))).toEqual(new Set([2]));
    const trims = open(feet);
    expect(trims.flat().length).toBeGreaterThan(0);
    expect(new Set(voidsOf(await raftOf(feet, trims)))).toEqual(new Set([1]));
    // One opening, between two neighbours; every strut still stands on most of its foot.
    expect(trims.filter((own) => own.length > 0)).toHaveLength(2);
    feet.forEach(({ x, y, radiusMm }, n) => {
      expect(shareLeft(x, y, radiusMm, trims[n]!)).toBeGreaterThan(0.75);
    });
  });

  test('a pocket that the leaning edges close over, and pockets beside pockets, are open in every layer, too', async () => {
    // Three feet: at the plate they touch and enclose 1 mm², at the top they meet in the middle.
    const covered = ring(3, 5.9 / Math.sqrt(3));
    const grid = Array.from({ length: 16 }, (_, n) => foot(5.7 * (n % 4), 5.7 * Math.floor(n / 4)));
    for (const feet of [covered, grid]) {
      expect(Math.max(...voidsOf(await raftOf(feet, none(feet))))).toBeGreaterThan(1);
      expect(new Set(voidsOf(await raftOf(feet, open(feet))))).toEqual(new Set([1]));
    }
  });

  test('feet that enclose nothing stay whole, and so do those of which the plate needs all', () => {
    expect(open([foot(0, 0), foot(4, 0), foot(8, 0)]).flat()).toEqual([]);
    expect(open(ring(5, 20)).flat()).toEqual([]);
    expect(open(ring(8, 6.5, { leastShare: 1 })).flat()).toEqual([]);
  });

  test('of a disc cut at half its radius a closed form is left', () => {
    // A segment of 120°: r²/2·(2π/3 − √3/2).
    const left = 1 - (Math.PI / 3 - Math.sqrt(3) / 4) / Math.PI;
    expect(shareLeft(2, 1, 3, [{ normal: [1, 0], least: 2 - 1.5 }])).toBeCloseTo(left, 3);
    expect(shareLeft(2, 1, 3, [{ normal: [0, 1], least: 5 }])).toBe(0);
  });
});
