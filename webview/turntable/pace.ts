/**
 * How much is drawn while something moves. Steps go from the best picture (0) down; each costs about
 * half of the one before. A step that was too slow is tried again only after a while that doubles
 * every time, so that the pace settles whatever the renderer.
 */
export interface Pace {
  readonly step: number;
  readonly frame: number;
  /** Fast frames in a row. */
  readonly calm: number;
  /** Slow frames in a row. */
  readonly slow: number;
  /** By step: the frame from which it may be tried again, and how long the next wait will be. */
  readonly retryAt: readonly number[];
  readonly patience: readonly number[];
}

/** Above it (24 frames a second) a turn does not look smooth; below the other there is time to spare. */
const slowMs = 42;
const fastMs = 24;
const calmFrames = 12;
const firstPatience = 120;
const mostPatience = 2 ** 15;

export function startPace(steps: number, step: number): Pace {
  return {
    step: Math.min(step, steps - 1),
    frame: 0,
    calm: 0,
    slow: 0,
    retryAt: Array.from({ length: steps }, () => 0),
    patience: Array.from({ length: steps }, () => firstPatience),
  };
}

/** The pace after a frame that took so many milliseconds. */
export function paced(before: Pace, frameMs: number): Pace {
  const now = {
    ...before,
    frame: before.frame + 1,
    calm: frameMs < fastMs ? before.calm + 1 : 0,
    slow: frameMs > slowMs ? before.slow + 1 : 0,
  };
  // One long frame may be something else's doing; a very long one is not waited for twice.
  if (now.slow >= 2 || frameMs > 4 * slowMs) return down(now, frameMs);
  if (now.calm >= calmFrames && now.step > 0 && now.frame >= now.retryAt[now.step - 1]!) {
    return { ...now, step: now.step - 1, calm: 0 };
  }
  return now;
}

function down(pace: Pace, frameMs: number): Pace {
  const { step, frame, patience } = pace;
  const last = patience.length - 1;
  const halvings = Math.max(1, Math.round(Math.log2(frameMs / slowMs)));
  return {
    ...pace,
    step: Math.min(last, step + halvings),
    calm: 0,
    slow: 0,
    retryAt: pace.retryAt.with(step, frame + patience[step]!),
    patience: patience.with(step, Math.min(mostPatience, 2 * patience[step]!)),
  };
}
