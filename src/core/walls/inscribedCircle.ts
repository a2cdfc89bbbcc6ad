import type { Vec3 } from '../vector.ts';

export interface InscribedCircle {
  readonly at: Vec3;
  readonly radiusMm: number;
  /** Two unit directions across the region's axis. */
  readonly u: Vec3;
  readonly v: Vec3;
}

/** More are thinned evenly. */
const MOST_SEEDS = 1500;
const MOST_RIM = 3000;
const STEP_MM = 2;
const STEP_END_MM = 0.05;
const MOST_STEPS = 3;

/**
 * The largest circle in a near-flat region that keeps clear of its rim (x, y, z triples), seen along
 * `axis`: begun at the best of the seeds, which lie in the region, and climbed from there.
 */
export function inscribedCircle(
  seeds: readonly ArrayLike<number>[],
  rim: readonly number[],
  axis: readonly [number, number, number],
): InscribedCircle {
  const [u, v] = crossDirections(axis);
  const flat = flattened(rim, u, v);
  const stride = Math.ceil(seeds.length / MOST_SEEDS);
  let best = { x: 0, y: 0, clear: -1 };
  let from = seeds[0]!;
  for (let n = 0; n < seeds.length; n += stride) {
    const [x, y] = [along(seeds[n]!, u), along(seeds[n]!, v)];
    const clear = clearance(flat, x, y);
    if (clear <= best.clear) continue;
    best = { x, y, clear };
    from = seeds[n]!;
  }
  const { x, y, clear } = climbed(flat, best);
  const at = [0, 1, 2].map((n) => from[n]! + (x - best.x) * u[n]! + (y - best.y) * v[n]!);
  return { at: at as unknown as Vec3, radiusMm: clear, u, v };
}

interface Spot {
  readonly x: number;
  readonly y: number;
  readonly clear: number;
}

/** Pattern search for more clearance. No further than a few steps: the best of seeds so near to each other stands next to the middle. */
function climbed(flat: Float64Array, start: Spot): Spot {
  let spot = start;
  for (let step = STEP_MM; step > STEP_END_MM; ) {
    let next = spot;
    for (let way = 0; way < 9; way++) {
      const x = spot.x + step * ((way % 3) - 1);
      const y = spot.y + step * (Math.floor(way / 3) - 1);
      if (Math.hypot(x - start.x, y - start.y) > MOST_STEPS * STEP_MM) continue;
      const clear = clearance(flat, x, y);
      if (clear > next.clear) next = { x, y, clear };
    }
    if (next === spot) step /= 2;
    spot = next;
  }
  return spot;
}

function clearance(flat: Float64Array, x: number, y: number): number {
  let least = Infinity;
  for (let n = 0; n < flat.length; n += 2) {
    const dx = flat[n]! - x;
    const dy = flat[n + 1]! - y;
    const squared = dx * dx + dy * dy;
    if (squared < least) least = squared;
  }
  return Math.sqrt(least);
}

const along = (point: ArrayLike<number>, way: Vec3): number =>
  point[0]! * way[0] + point[1]! * way[1] + point[2]! * way[2];

/** Two coordinates a point. */
function flattened(rim: readonly number[], u: Vec3, v: Vec3): Float64Array {
  const count = rim.length / 3;
  const stride = Math.ceil(count / MOST_RIM);
  const flat = new Float64Array(2 * Math.ceil(count / stride));
  let filled = 0;
  for (let n = 0; n < count; n += stride) {
    const point = [rim[3 * n]!, rim[3 * n + 1]!, rim[3 * n + 2]!];
    flat[filled++] = along(point, u);
    flat[filled++] = along(point, v);
  }
  return flat;
}

/** Across an axis, by the coordinate axis it is furthest from. */
function crossDirections([x, y, z]: readonly [number, number, number]): [Vec3, Vec3] {
  const [a, b, c] = [Math.abs(x), Math.abs(y), Math.abs(z)];
  const [ex, ey, ez] = a <= b && a <= c ? [1, 0, 0] : b <= c ? [0, 1, 0] : [0, 0, 1];
  const u = unit([y * ez - z * ey, z * ex - x * ez, x * ey - y * ex]);
  return [u, unit([y * u[2] - z * u[1], z * u[0] - x * u[2], x * u[1] - y * u[0]])];
}

function unit([x, y, z]: Vec3): Vec3 {
  const length = Math.hypot(x, y, z) || 1;
  return [x / length, y / length, z / length];
}
