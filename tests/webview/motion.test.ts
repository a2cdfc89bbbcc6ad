import { describe, expect, test } from 'vitest';
import { type Pace, paced, startPace } from '../../webview/turntable/pace.ts';
import { random } from '../shapes.ts';

const steps = 5;

/** Runs a renderer that takes so long by step; the step of every frame. */
function run(frames: number, frameMs: (step: number, frame: number) => number, from = 1): number[] {
  let pace: Pace = startPace(steps, from);
  return Array.from({ length: frames }, (_, frame) => {
    pace = paced(pace, frameMs(pace.step, frame));
    return pace.step;
  });
}

const share = (seen: readonly number[], step: number): number =>
  seen.filter((other) => other === step).length / seen.length;

describe('the pace of a simulated renderer', () => {
  test('a fast one comes to the best picture at once and stays', () => {
    const seen = run(600, () => 1000 / 60);
    expect(seen.indexOf(0)).toBeLessThan(20);
    expect(seen.slice(20).every((step) => step === 0)).toBe(true);
  });

  test('a slow one comes to the cheapest within a few frames and stays', () => {
    const seen = run(600, (step) => 900 / 2 ** step);
    expect(seen.slice(4).every((step) => step === steps - 1)).toBe(true);
  });

  test('one that is too slow for all keeps the cheapest', () => {
    expect(run(50, () => 3000).slice(4)).toEqual(Array.from({ length: 46 }, () => steps - 1));
  });

  // By the time a step takes: the finest that is fast enough is where the pace stays nearly always.
  test.each([
    ['each costs half', [160, 80, 40, 20, 10], 2],
    ['a wide gap', [500, 17, 17, 17, 17], 1],
    ['just fast enough', [41, 20, 10, 5, 3], 0],
    ['just too slow', [43, 20, 17, 17, 17], 1],
    ['uneven', [300, 250, 60, 55, 17], 4],
  ])('%s', (_name, costs, best) => {
    const seen = run(20_000, (step) => costs[step]!);
    expect(share(seen.slice(-10_000), best)).toBeGreaterThan(0.97);
    // It goes on trying, ever more rarely (8 times in so many frames, some steps each): a machine that
    // was busy may be free again.
    const changes = seen.filter((step, i) => i > 0 && step !== seen[i - 1]).length;
    expect(changes).toBeLessThanOrEqual(8 * steps);
  });

  test('noise and single long frames do not move it', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const next = random(seed);
      const costs = [400, 90, 33, 17, 17];
      const seen = run(
        5000,
        (step, frame) => costs[step]! * (0.9 + 0.2 * next()) + (frame % 97 === 0 ? 60 : 0),
      );
      expect(share(seen.slice(-2500), 2), `seed ${seed}`).toBeGreaterThan(0.9);
    }
  });

  test('a renderer that becomes fast is found out, one that becomes slow at once', () => {
    const seen = run(6000, (step, frame) => (frame < 3000 ? 16 : frame < 4000 ? 700 / 2 ** step : 16));
    expect(seen[2999]).toBe(0);
    expect(seen[3010]).toBe(4);
    expect(seen.at(-1)).toBe(0);
  });

  test('starts no lower than there are steps', () => {
    expect(startPace(1, 3).step).toBe(0);
  });
});
