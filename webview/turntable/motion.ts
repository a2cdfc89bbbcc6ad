import { type Pace, paced, startPace } from './pace.ts';

/** One way to draw: which level of detail (0 the finest), in which share of the pixels, smoothed or not. */
export interface Quality {
  readonly detail: number;
  readonly scale: number;
  readonly smooth: boolean;
}

/** From the best on: the steps of the pace. */
const qualities: readonly Quality[] = [
  { detail: 0, scale: 1, smooth: true },
  { detail: 1, scale: 1, smooth: true },
  { detail: 1, scale: 1, smooth: false },
  { detail: 2, scale: 1, smooth: false },
  { detail: 2, scale: 0.5, smooth: false },
];
const best = qualities[0]!;
/** Neither a hardware renderer nor a software one is taken by surprise by it. */
const firstStep = 1;
/** Without a move for so long, the picture is drawn in full again. */
const restMs = 250;

/**
 * When to draw and how well. What moves is drawn frame by frame as well as the renderer keeps up
 * with; what stands still is drawn once, in full. Nothing is drawn when nothing has changed.
 */
export interface Motion {
  /** Something has changed; `moving` when more of it is to be expected at once. */
  changed(moving: boolean): void;
  /** Draws now, in the quality of the moment. */
  drawNow(): void;
  resting(): boolean;
  dispose(): void;
}

export function createMotion(draw: (quality: Quality) => void, onRest: () => void): Motion {
  let pace: Pace = startPace(qualities.length, firstStep);
  let drawn: Quality = best;
  let dirty = false;
  let asked = 0;
  /** Of the last call for movement; null at rest. */
  let movedAt: number | null = null;
  /** Of the last frame, when that was drawn in motion: the next one tells how long it took. */
  let timedFrom: number | null = null;

  function ask(): void {
    if (asked === 0) asked = requestAnimationFrame(frame);
  }

  const quality = (): Quality => (movedAt === null ? best : qualities[pace.step]!);

  function drawWith(chosen: Quality): void {
    dirty = false;
    drawn = chosen;
    draw(chosen);
  }

  function frame(now: number): void {
    asked = 0;
    if (timedFrom !== null) pace = paced(pace, now - timedFrom);
    timedFrom = null;
    const rests = movedAt !== null && now - movedAt > restMs;
    if (rests) {
      movedAt = null;
      dirty ||= drawn !== best;
    }
    if (dirty) {
      drawWith(quality());
      if (movedAt !== null) timedFrom = now;
    }
    if (movedAt !== null) ask();
    if (rests) onRest();
  }

  /** Frames stop coming while the page is hidden; what comes after says nothing about the renderer. */
  const forget = (): void => {
    timedFrom = null;
  };
  document.addEventListener('visibilitychange', forget);

  return {
    changed(moving) {
      dirty = true;
      if (moving) movedAt = performance.now();
      ask();
    },
    drawNow: () => drawWith(quality()),
    resting: () => movedAt === null,
    dispose() {
      cancelAnimationFrame(asked);
      document.removeEventListener('visibilitychange', forget);
    },
  };
}
