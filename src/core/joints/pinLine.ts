import { type LineHit, lineHits } from '../openings/lineHits.ts';
import type { SurfaceIndex } from '../openings/surfaceIndex.ts';
import { add, scale, type Vec3 } from '../vector.ts';

/** Where a straight pin passes from one part to the other. Frame and unit of both surfaces, mm. */
export interface PinLine {
  /** Mouths of the two holes, on either part. */
  readonly first: PinMouth;
  readonly second: PinMouth;
}

export interface PinMouth {
  readonly at: Vec3;
  /** Into the part, of length one. */
  readonly toward: Vec3;
  /** Solid ahead, until the part is left again. */
  readonly roomMm: number;
}

/** The two faces lie no further from each other than this along the pin. */
const FARTHEST_MM = 5;
const ENDLESS_MM = 1e4;

/**
 * The two holes of a pin along `off`, the way in which the first part comes off the second, through `at`: where the line
 * goes into the first part, and where it comes out of the second right there. Null where it meets no such pair of faces.
 */
export function pinLine(first: SurfaceIndex, second: SurfaceIndex, at: Vec3, off: Vec3): PinLine | null {
  const ahead = lineHits(first, at, off, -ENDLESS_MM, ENDLESS_MM);
  const behind = lineHits(second, at, off, -ENDLESS_MM, ENDLESS_MM);
  let best: { readonly into: LineHit; readonly outOf: LineHit; readonly cost: number } | null = null;
  for (const into of ahead.filter(({ entering }) => entering)) {
    for (const outOf of behind.filter(({ entering }) => !entering)) {
      const apart = Math.abs(into.at - outOf.at);
      // Of several pairs of faces as near the one nearer to the place asked for.
      const cost = apart + 0.1 * Math.abs((into.at + outOf.at) / 2);
      if (apart <= FARTHEST_MM && (best === null || cost < best.cost)) best = { into, outOf, cost };
    }
  }
  if (best === null) return null;
  const { into, outOf } = best;
  const leaves = ahead.find((hit) => !hit.entering && hit.at > into.at);
  const enters = behind.findLast((hit) => hit.entering && hit.at < outOf.at);
  const on = (hit: LineHit): Vec3 => add(at, scale(off, hit.at));
  return {
    first: { at: on(into), toward: off, roomMm: (leaves?.at ?? into.at) - into.at },
    second: { at: on(outOf), toward: scale(off, -1), roomMm: outOf.at - (enters?.at ?? outOf.at) },
  };
}
