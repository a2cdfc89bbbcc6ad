import { type Interrupter, uninterrupted } from '../interrupter.ts';
import { closestOnSurface } from '../openings/closestOnSurface.ts';
import { lineHits } from '../openings/lineHits.ts';
import type { OpenablePart } from '../openings/openablePart.ts';
import type { SurfaceIndex } from '../openings/surfaceIndex.ts';
import { norm, scale, subtract, type Vec3 } from '../vector.ts';
import { type LightCurve, pointAlong } from './lightCurve.ts';

/** What a light does in one part. Print frame, mm. */
export interface LightFacts {
  readonly name: string;
  readonly radiusMm: number;
  readonly liningMm: number;
  /** Its middle line as it is cut. */
  readonly points: readonly Vec3[];
  /** Stretches of it inside the part's skin. */
  readonly passes: readonly LightPass[];
  /** Least solid between tube and skin, mouths left out; null where all of it is deeper than anyone asks. */
  readonly thinnest: { readonly wallMm: number; readonly at: Vec3; readonly alongMm: number } | null;
  /** Least solid between tube and hollow; null where no hollow is near. */
  readonly leastLiningMm: number | null;
}

export interface LightPass {
  readonly fromMm: number;
  readonly toMm: number;
  /** Where it comes in and goes out through the skin; null where the path begins or ends in the solid. */
  readonly enters: Vec3 | null;
  readonly leaves: Vec3 | null;
}

/** Walls thicker than the lining by this are not told, mm. */
const TOLD_MM = 5;
const STEP_MM = 0.5;
const MOST_STEPS = 4000;

/** `curve` in the print frame, mm. Sculpted voids count as outside. */
export function lightPasses(
  curve: LightCurve,
  { name, radiusMm, liningMm }: Pick<LightFacts, 'name' | 'radiusMm' | 'liningMm'>,
  { outer, cavity }: Pick<OpenablePart, 'outer' | 'cavity'>,
  interrupter: Interrupter = uninterrupted,
): LightFacts {
  const passes = stretchesInside(curve, outer);
  const farthest = radiusMm + liningMm + TOLD_MM;
  const step = Math.max(STEP_MM, curve.lengthMm / MOST_STEPS);
  let thinnest: LightFacts['thinnest'] = null;
  let lining = Number.POSITIVE_INFINITY;
  for (const pass of passes) {
    const [from, to] = awayFromMouths(pass, radiusMm, liningMm);
    for (let at = pass.fromMm; at <= pass.toMm; at += step) {
      interrupter(at / curve.lengthMm);
      const point = pointAlong(curve, at);
      if (cavity) lining = Math.min(lining, closestOnSurface(cavity, point, farthest).distanceMm - radiusMm);
      if (at < from || at > to) continue;
      const wallMm = closestOnSurface(outer, point, farthest).distanceMm - radiusMm;
      if (wallMm < (thinnest?.wallMm ?? Number.POSITIVE_INFINITY))
        thinnest = { wallMm, at: point, alongMm: at };
    }
  }
  const leastLiningMm = Number.isFinite(lining) ? lining : null;
  return { name, radiusMm, liningMm, points: curve.points, passes, thinnest, leastLiningMm };
}

/** At a mouth the skin is as near as the way to it: twice the tube's reach is left out, a third of the pass at most. */
function awayFromMouths(
  { fromMm, toMm, enters, leaves }: LightPass,
  radiusMm: number,
  liningMm: number,
): readonly [number, number] {
  const out = Math.min(2 * (radiusMm + liningMm), (toMm - fromMm) / 3);
  return [enters === null ? fromMm : fromMm + out, leaves === null ? toMm : toMm - out];
}

interface Crossing {
  readonly alongMm: number;
  readonly entering: boolean;
}

/** In the frame and unit of the surface. */
export function stretchesInside(curve: LightCurve, outer: SurfaceIndex): LightPass[] {
  const crossings = crossingsOf(curve, outer);
  let inside = isInside(outer, curve.points[0]!);
  let from = 0;
  let fromMouth = false;
  const passes: LightPass[] = [];
  const close = (to: number, leaves: boolean): void => {
    passes.push({
      fromMm: from,
      toMm: to,
      enters: fromMouth ? pointAlong(curve, from) : null,
      leaves: leaves ? pointAlong(curve, to) : null,
    });
  };
  for (const { alongMm, entering } of crossings) {
    if (entering === inside) continue;
    if (inside) close(alongMm, true);
    else [from, fromMouth] = [alongMm, true];
    inside = entering;
  }
  if (inside) close(curve.lengthMm, false);
  return passes;
}

function crossingsOf({ points, alongMm }: LightCurve, outer: SurfaceIndex): Crossing[] {
  return points.slice(1).flatMap((point, n) => {
    const way = subtract(point, points[n]!);
    const length = norm(way);
    return lineHits(outer, points[n]!, scale(way, 1 / length), 0, length).map(({ at, entering }) => ({
      alongMm: alongMm[n]! + at,
      entering,
    }));
  });
}

/** A line in no particular direction first leaves the part where it starts inside. */
function isInside(outer: SurfaceIndex, point: Vec3): boolean {
  const [first] = lineHits(outer, point, [0.8017, 0.2673, 0.5345], 0, Number.POSITIVE_INFINITY);
  return first !== undefined && !first.entering;
}
