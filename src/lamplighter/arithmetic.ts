/**
 * Sines and angles from plain arithmetic alone. The committed STL files must come out byte for byte
 * the same on every Node version, and the engine's own Math.sin, Math.atan2 and Math.hypot may
 * change their last bit between versions; + − × ÷ and Math.sqrt may not.
 */
const turn = 6.283185307179586;

/** Sine of an angle in radians. Taylor series after folding to a quarter turn; error under 4e-6. */
export function sine(angle: number): number {
  let t = angle / turn;
  t -= Math.floor(t + 0.5);
  if (t > 0.25) t = 0.5 - t;
  else if (t < -0.25) t = -0.5 - t;
  const x = t * turn;
  const q = x * x;
  return x * (1 + q * (-1 / 6 + q * (1 / 120 + q * (-1 / 5040 + q / 362880))));
}

export function cosine(angle: number): number {
  return sine(angle + turn / 4);
}

/** Angle of (x, y) in radians, −π to π. Polynomial of Abramowitz and Stegun 4.4.49; error under 1e-5. */
export function angleOf(x: number, y: number): number {
  const ax = Math.abs(x);
  const ay = Math.abs(y);
  const high = Math.max(ax, ay);
  if (high === 0) return 0;
  const r = Math.min(ax, ay) / high;
  const q = r * r;
  let angle = r * (0.999866 + q * (-0.3302995 + q * (0.180141 + q * (-0.085133 + q * 0.0208351))));
  if (ay > ax) angle = turn / 4 - angle;
  if (x < 0) angle = turn / 2 - angle;
  return y < 0 ? -angle : angle;
}

export function length3(x: number, y: number, z: number): number {
  return Math.sqrt(x * x + y * y + z * z);
}

/** 0 below `from`, 1 above `to`, smooth between. */
export function ramp(from: number, to: number, value: number): number {
  const t = Math.min(1, Math.max(0, (value - from) / (to - from)));
  return t * t * (3 - 2 * t);
}

/** A smooth hump of height 1 at `centre` that reaches 0 at ± `reach`. */
export function hump(centre: number, reach: number, value: number): number {
  const t = (value - centre) / reach;
  const s = 1 - t * t;
  return s > 0 ? s * s : 0;
}
