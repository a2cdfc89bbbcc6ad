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
  { detail: 2, scale: 0.35, smooth: false },
];
const best = qualities[0]!;
/** Neither a hardware renderer nor a software one is taken by surprise by it. */
const firstStep = 1;
/** Without a change for so long, the picture is drawn in full. */
const restMs = 250;
/** A renderer that is slow first draws a good picture only, to be there for the next turn; the full one when none comes. */
const longRestMs = 3000;
/** A picture in full that took longer held up the whole window: the next ones are coarser. */
const restPictureMs = 1500;
/** So many of them, and twice as many each time that it is found too slow again. */
const firstRestPatience = 8;
/** A slow frame may show in the time of the one after the next, a very slow one later still. */
const timedFrames = 2;
const timedRestFrames = 6;

/**
 * When to draw and how well. A change is drawn at the next frame, as well as the renderer keeps up
 * with; what stands still is drawn once more, in full. Nothing is drawn when nothing has changed.
 */
export interface Motion {
  /** `moved`: the same things from elsewhere. Only then does a frame tell the pace: new ones are still being made ready. */
  changed(moved: boolean): void;
  /** Draws now, in the quality of the moment. */
  drawNow(): void;
  resting(): boolean;
  dispose(): void;
}

export interface MotionEvents {
  draw(quality: Quality): void;
  /** The picture stands as it will until something changes. */
  onRest(quality: Quality): void;
  /** How many triangles a picture of that detail has. */
  triangles(detail: number): number;
}

export function createMotion({ draw, onRest, triangles }: MotionEvents): Motion {
  let pace: Pace = startPace(qualities.length, firstStep);
  let drawn: Quality | null = null;
  let dirty = false;
  let asked = 0;
  /** The last frame with a change; null at rest. */
  let changedAt: number | null = null;
  let last: number | null = null;
  /** Frames that still tell how long the last picture took, and whether that was one at rest. */
  let untimed = 0;
  let timesRest = false;
  let onlyMoved = true;
  /** A picture at rest has less triangles than that. */
  let tooMany = Infinity;
  let restPatience = firstRestPatience;
  let restsToWait = 0;

  function ask(): void {
    if (asked === 0) asked = requestAnimationFrame(frame);
  }

  function drawWith(quality: Quality): void {
    dirty = false;
    drawn = quality;
    timesRest = changedAt === null;
    untimed = timesRest ? timedRestFrames : onlyMoved ? timedFrames : 0;
    onlyMoved = true;
    draw(quality);
  }

  function time(now: number): void {
    if (last === null || untimed === 0) return;
    untimed--;
    const ms = now - last;
    // A picture in full is no measure of a pace: it is drawn when there is time.
    if (!timesRest) pace = paced(pace, ms);
    else if (ms > restPictureMs && drawn === best) {
      tooMany = triangles(best.detail);
      restsToWait = restPatience;
      restPatience *= 2;
    }
  }

  /** The best picture that does not hold up the window, as far as that is known. */
  function restQuality(): Quality {
    if (triangles(best.detail) < tooMany) return best;
    if (--restsToWait < 0) tooMany = Infinity;
    return qualities[firstStep]!;
  }

  function frame(now: number): void {
    asked = 0;
    time(now);
    // By frames, not by the clock alone: between two of a slow renderer lies more than the time of rest.
    if (dirty) changedAt = now;
    if (dirty) drawWith(qualities[pace.step]!);
    else if (changedAt !== null) rest(now - changedAt);
    last = now;
    if (changedAt !== null || untimed > 0) ask();
  }

  function rest(idleMs: number): void {
    if (idleMs < restMs) return;
    const good = qualities[firstStep]!;
    const slow = pace.step > firstStep && triangles(good.detail) < triangles(best.detail);
    if (slow && idleMs < longRestMs) {
      // Better than the pace, so it tells nothing of it.
      onlyMoved = false;
      if (drawn !== good) drawWith(good);
      return;
    }
    changedAt = null;
    const quality = restQuality();
    if (drawn !== quality) drawWith(quality);
    onRest(quality);
  }

  /** Frames stop coming while the page is hidden; what comes after says nothing about the renderer. */
  const forget = (): void => {
    last = null;
  };
  document.addEventListener('visibilitychange', forget);

  return {
    changed(moved) {
      dirty = true;
      onlyMoved &&= moved;
      ask();
    },
    drawNow() {
      drawn ??= qualities[pace.step]!;
      draw(drawn);
    },
    resting: () => !dirty && changedAt === null,
    dispose() {
      cancelAnimationFrame(asked);
      document.removeEventListener('visibilitychange', forget);
    },
  };
}
