import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { createMotion, type Motion, type Quality } from '../../webview/turntable/motion.ts';
import { type Pace, paced, startPace } from '../../webview/turntable/pace.ts';
import { random } from '../shapes.ts';

const steps = 6;

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
    expect(seen[3010]).toBe(steps - 1);
    expect(seen.at(-1)).toBe(0);
  });

  test('starts no lower than there are steps', () => {
    expect(startPace(1, 3).step).toBe(0);
  });
});

describe('what is drawn when, by a simulated renderer', () => {
  const counts = [600_000, 120_000, 12_000];
  const triangles = (detail: number): number => counts[detail]!;
  let now = 0;
  let waiting: ((at: number) => void)[] = [];
  let drawn: Quality[] = [];
  let rests: Quality[] = [];
  let motion: Motion;
  let nsPerTriangle = 0;
  let busyMs = 0;

  beforeEach(() => {
    now = 0;
    waiting = [];
    drawn = [];
    rests = [];
    busyMs = 0;
    vi.stubGlobal('requestAnimationFrame', (callback: (at: number) => void) => waiting.push(callback));
    vi.stubGlobal('cancelAnimationFrame', () => {
      waiting = [];
    });
    vi.stubGlobal('document', { addEventListener() {}, removeEventListener() {} });
    motion = createMotion({
      triangles,
      onRest: (quality) => rests.push(quality),
      draw(quality) {
        drawn.push(quality);
        const samples = quality.smooth ? 2 : quality.scale === 1 ? 1 : 0.7;
        busyMs = 1e-6 * nsPerTriangle * samples * triangles(quality.detail);
      },
    });
  });
  afterEach(() => vi.unstubAllGlobals());

  /** Frames at 60 a second, or as fast as the renderer is done with the last. */
  function frames(count: number, beforeEachFrame: () => void = () => {}): void {
    for (let i = 0; i < count; i++) {
      beforeEachFrame();
      now += Math.max(1000 / 60, busyMs);
      busyMs = 0;
      for (const callback of waiting.splice(0)) callback(now);
    }
  }
  const move = (): void => motion.changed(true);

  test('a fast one turns the best picture', () => {
    nsPerTriangle = 5;
    frames(120, move);
    expect(drawn.slice(-80).every(({ detail, smooth }) => detail === 0 && smooth)).toBe(true);
    const count = drawn.length;
    frames(60);
    // It stands already: nothing more is drawn.
    expect(drawn).toHaveLength(count);
    expect(rests).toHaveLength(1);
    expect(motion.resting()).toBe(true);
    expect(waiting).toHaveLength(0);
  });

  test('a slow one turns a coarse picture and rests on the best', () => {
    nsPerTriangle = 900;
    frames(60, move);
    const step = drawn.at(-1)!;
    expect(step.detail).toBe(2);
    // First a good picture, from which it turns on as before, then the best.
    frames(30);
    expect(drawn.at(-1)).toMatchObject({ detail: 1, smooth: true, scale: 1 });
    expect(rests).toHaveLength(0);
    frames(1, move);
    expect(drawn.at(-1)).toBe(step);
    frames(300);
    expect(drawn.at(-1)).toMatchObject({ detail: 0, smooth: true, scale: 1 });
    expect(rests.at(-1)).toBe(drawn.at(-1));
    const count = drawn.length;
    frames(200);
    expect(drawn).toHaveLength(count);
  });

  test('a very slow one turns few triangles in few pixels', () => {
    nsPerTriangle = 5000;
    frames(60, move);
    expect(drawn.at(-1)).toEqual({ detail: 2, scale: 0.35, smooth: false });
  });

  test('a picture in full that holds up the window gives way to a coarser one, and is tried again later', () => {
    nsPerTriangle = 5000;
    const atRest: number[] = [];
    for (let turn = 0; turn < 60; turn++) {
      frames(8, move);
      frames(300);
      atRest.push(rests.at(-1)!.detail);
    }
    expect(atRest[0]).toBe(0);
    expect(atRest.filter((detail) => detail === 0).length).toBeLessThanOrEqual(4);
    expect(atRest.filter((detail) => detail === 1).length).toBeGreaterThan(50);
    expect(atRest.lastIndexOf(0)).toBeGreaterThan(8);
  });

  test('what is new is drawn without a word about the pace: it is still being made ready', () => {
    nsPerTriangle = 5;
    for (let i = 0; i < 10; i++) {
      motion.changed(false);
      frames(1);
      busyMs = 900;
      frames(40);
    }
    frames(2, move);
    expect(drawn.at(-1)!.detail).toBeLessThan(2);
    expect(drawn.at(-1)!.scale).toBe(1);
  });

  test('a hand that stops for a frame or two is still turning', () => {
    nsPerTriangle = 5;
    for (let i = 0; i < 100; i++) {
      move();
      frames(3);
    }
    expect(rests).toHaveLength(0);
  });

  test('between frames that are far apart it does not take itself to be at rest', () => {
    nsPerTriangle = 200_000;
    frames(30, move);
    expect(drawn.slice(3).every(({ detail }) => detail === 2)).toBe(true);
    expect(rests).toHaveLength(0);
  });
});
