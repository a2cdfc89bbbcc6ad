import { describe, expect, test } from 'vitest';
import { downOfTurn } from '../../../src/core/drainage/downOfTurn.ts';
import { choosePoses, poseCost } from '../../../src/core/pose/choosePoses.ts';
import {
  concernOf,
  type PoseFigures,
  type PoseWeights,
  poseConcerns,
} from '../../../src/core/pose/poseFigures.ts';
import { poseProposalReport, poseProposalText } from '../../../src/core/pose/poseReport.ts';
import { searchPoses } from '../../../src/core/pose/searchPoses.ts';
import type { Tilt } from '../../../src/core/pose/tilt.ts';
import { dot, normalized, type Vec3 } from '../../../src/core/vector.ts';
import { random } from '../../shapes.ts';

const weights: PoseWeights = {
  show: 3,
  overhang: 1,
  islands: 1,
  pull: 1,
  jumps: 1,
  cups: 1,
  floors: 2,
  openings: 1,
  height: 1,
};
const only = (concern: keyof PoseWeights): PoseWeights => ({
  ...(Object.fromEntries(poseConcerns.map((one) => [one, 0])) as PoseWeights),
  [concern]: 1,
});

function figuresOf(turn: Vec3, change: Partial<PoseFigures> = {}): PoseFigures {
  return {
    turn,
    fit: {
      turnZ: turn[2],
      fits: true,
      fitsBare: true,
      growth: 1.5,
      short: 2,
      sizeMm: [50, 50, 50],
      heldMm: [60, 55],
    },
    raiseMm: 0,
    heightMm: 50,
    islands: 1,
    overhangMm2: 100,
    shownOverhangMm2: 0,
    peakPullN: 10,
    jumpN: 1,
    cups: 1,
    floorMm2: 10,
    openingsMm: 0,
    ...change,
  };
}

const room = { supports: { raiseMm: 3.2, reachMm: 8.55, holdN: 0.1 }, isPlanned: false };

const degreesBetween = (a: Vec3, b: Vec3): number => (Math.acos(Math.min(1, dot(a, b))) * 180) / Math.PI;

describe('choosePoses', () => {
  test('no pose of the set is worse in everything weighed than another of all, and the first is the cheapest', () => {
    const next = random(3);
    const poses = Array.from({ length: 400 }, () =>
      figuresOf([Math.round(360 * next() - 180), Math.round(180 * next() - 90), 0], {
        heightMm: 40 + 60 * next(),
        islands: Math.floor(5 * next()),
        overhangMm2: 1000 * next(),
        shownOverhangMm2: 50 * next(),
        peakPullN: 20 * next(),
        jumpN: 5 * next(),
        cups: Math.floor(4 * next()),
        floorMm2: 500 * next(),
        openingsMm: 30 * next(),
      }),
    );
    const cost = poseCost(poses, weights);
    const chosen = choosePoses(poses, weights, cost, 5).map(({ figures }) => figures);
    expect(chosen).toHaveLength(5);
    expect(cost(chosen[0]!)).toBe(Math.min(...poses.map(cost)));
    for (const one of chosen) {
      const better = poses.filter(
        (other) =>
          poseConcerns.every((concern) => concernOf(other, concern) <= concernOf(one, concern)) &&
          poseConcerns.some((concern) => concernOf(other, concern) < concernOf(one, concern)),
      );
      expect(better).toEqual([]);
    }
    for (const [n, one] of chosen.entries())
      for (const other of chosen.slice(0, n))
        expect(degreesBetween(downOfTurn(one.turn), downOfTurn(other.turn))).toBeGreaterThan(14.9);
  });

  test('weights decide: what is not weighed neither counts nor gets a pose of its own', () => {
    const low = figuresOf([0, 0, 0], { heightMm: 10, peakPullN: 90 });
    const weak = figuresOf([90, 0, 0], { heightMm: 90, peakPullN: 1 });
    const pick = (of: PoseWeights) => choosePoses([low, weak], of, poseCost([low, weak], of), 5);
    expect(pick(only('height')).map(({ figures }) => figures)).toEqual([low]);
    expect(pick(only('pull')).map(({ figures }) => figures)).toEqual([weak]);
  });
});

describe('searchPoses', () => {
  const target = normalized([0.3, -0.5, 0.81]);
  /** Costs as many degrees as its down is away from the target. */
  const measure = async (tilts: readonly Tilt[]): Promise<PoseFigures[]> =>
    tilts.map(([x, y]) => {
      const down = downOfTurn([x, y, 0]);
      const away = degreesBetween(down, target);
      const fits = away < 60;
      const growth = fits ? 1.2 : 0.9;
      const fit = { ...figuresOf([x, y, 0]).fit, fits, fitsBare: fits, growth, short: 0 as const };
      return figuresOf([x, y, 0], { overhangMm2: away, fit });
    });

  test('finds the best direction to about the whole degrees it may use, far finer than its first grid', async () => {
    const { chosen, tried } = await searchPoses([0, 0], only('overhang'), measure);
    expect(tried).toBeGreaterThan(500);
    expect(degreesBetween(downOfTurn(chosen[0]!.figures.turn), target)).toBeLessThan(2);
  });

  test('the own pose is compared, and the same question gets the same answer', async () => {
    const first = await searchPoses([17, 23], only('height'), measure);
    const { cost: _, ...again } = await searchPoses([17, 23], only('height'), measure);
    expect(first).toMatchObject(again);
  });

  test('where nothing fits there is none to choose, and it says how far it may grow', async () => {
    const nowhere = async (tilts: readonly Tilt[]): Promise<PoseFigures[]> =>
      (await measure(tilts)).map((figures) => ({
        ...figures,
        fit: { ...figures.fit, fits: false, growth: 0.5 + figures.overhangMm2 / 1000 },
      }));
    const search = await searchPoses([0, 0], weights, nowhere);
    expect(search.chosen).toEqual([]);
    // The tilt furthest from the target grows most.
    expect(search.roomiest.overhangMm2).toBeGreaterThan(170);
    const report = poseProposalReport({ own: search.roomiest, ...search, ...room }, 3.4, () => 1);
    expect(report.largest_factor).toBeCloseTo(3.4 * search.roomiest.fit.growth, 3);
    expect(report.largest_factor).toBeLessThanOrEqual(3.4 * search.roomiest.fit.growth);
    expect(poseProposalText('ladder', report)).toContain('fits in none of');
  });
});

test('the table names every pose by its number, its turn and why it is there', () => {
  const own = figuresOf([0, 0, 0]);
  const chosen = [
    { figures: figuresOf([10, -20, 30]), best: null },
    { figures: figuresOf([90, 0, 0], { peakPullN: 1 }), best: 'pull' as const },
  ];
  const text = poseProposalText(
    'torso',
    poseProposalReport({ own, chosen, roomiest: own, tried: 540, ...room }, 1, () => 7.25),
  );
  const lines = text.split('\n');
  expect(lines[0]).toContain('torso: 2 poses out of 540');
  expect(lines[3]).toMatch(/^ +1 +\[10, -20, 30\] .* best by your weights$/);
  expect(lines[4]).toMatch(/^ +2 +\[90, 0, 0\] .* least pull$/);
});
