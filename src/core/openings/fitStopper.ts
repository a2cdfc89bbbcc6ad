import { add, scale, type Vec3 } from '../vector.ts';
import { basisAcross } from './basisAcross.ts';
import { lineHits } from './lineHits.ts';
import type { OpeningFacts, PlacedOpening } from './opening.ts';
import type { NoStopper, Stopper, StopperDecision } from './stopper.ts';
import type { SurfaceIndex } from './surfaceIndex.ts';

/** Nothing narrower than this is printed as a stopper, mm across; engineering choice. */
const LEAST_DIAMETER_MM = 1;
/** The taper may take this share of the width, or what is left at the foot would not stand; engineering choice. */
const MOST_TAPERED = 0.5;
/** What is straight ends this far before the foot at least, mm, so that no two rings fall on each other. */
const LEAST_TAPERED_MM = 0.01;
/** Lines along the bore that tell how deep the wall lies there: rings of them, and the axis. */
const RINGS = [0.5, 1];
const LINES_A_RING = 24;

/**
 * Fits a stopper to an opening that opens a chamber. It is as long as the wall reaches down anywhere in
 * the bore, so that it closes the wall all over, and `lip` longer; but never meets the bottom of the
 * bore or the far wall of the chamber. `outer`: the surface before anything is cut, `cavity` that of
 * the chambers; print frame, mm.
 */
export function fitStopper(
  decision: StopperDecision,
  { placed, chamber, farWallDepthMm }: OpeningFacts,
  outer: SurfaceIndex,
  cavity: SurfaceIndex,
): Stopper | NoStopper {
  const { opening, clearance, taper, lip } = decision;
  if (placed === null) return { opening, reason: 'the opening lies off the surface' };
  if (chamber === null) return { opening, reason: 'the opening reaches no chamber' };
  const halfWidth = placed.radius - clearance;
  if (2 * halfWidth < LEAST_DIAMETER_MM) {
    return { opening, reason: `less than ${LEAST_DIAMETER_MM} mm would be left inside the clearance` };
  }
  const lines = acrossBore(placed).map((across) => add(placed.mouth, across));
  const wall = depths(lines, placed, cavity, -placed.outward);
  const bottom = wall.some((depth) => depth === null) ? placed.depth : Infinity;
  const asked = deepest(wall) + lip;
  const depthMm = Math.min(asked, Math.min(bottom, farWallDepthMm ?? Infinity) - clearance);
  const lowest = deepest(depths(lines, placed, outer, -placed.outward));
  const straightMm = Math.max(0, Math.min(lowest, depthMm - LEAST_TAPERED_MM));
  if (!(depthMm > LEAST_TAPERED_MM)) return { opening, reason: 'the bore leaves no room for one' };
  const mostTaper = (Math.atan((MOST_TAPERED * halfWidth) / (depthMm - straightMm)) * 180) / Math.PI;
  const notes: string[] = [];
  if (depthMm < asked) {
    notes.push(`The stopper of ${opening} ends ${depthMm.toFixed(1)} mm deep: its bore has no more room.`);
  }
  if (taper > mostTaper) {
    notes.push(
      `The stopper of ${opening} tapers by ${mostTaper.toFixed(1)}° instead of ${taper}°, so that a foot is left.`,
    );
  }
  const taperDeg = Math.min(taper, mostTaper);
  return { opening, bore: placed, clearanceMm: clearance, taperDeg, straightMm, depthMm, notes };
}

/** Where lines along the bore first go into a body, within the bore; null for one that does not. */
function depths(
  lines: readonly Vec3[],
  { axis, depth }: PlacedOpening,
  body: SurfaceIndex,
  from: number,
): (number | null)[] {
  return lines.map((line) => {
    const hits = lineHits(body, line, axis, from, depth);
    return hits.find(({ entering }) => entering)?.at ?? null;
  });
}

const deepest = (depthsMm: readonly (number | null)[]): number =>
  depthsMm.reduce<number>((most, depth) => Math.max(most, depth ?? 0), 0);

function acrossBore({ axis, radius }: PlacedOpening): Vec3[] {
  const [u, v] = basisAcross(axis);
  const points: Vec3[] = [[0, 0, 0]];
  for (const share of RINGS) {
    for (let n = 0; n < LINES_A_RING; n++) {
      const turn = (2 * Math.PI * n) / LINES_A_RING;
      const [right, up] = [share * radius * Math.cos(turn), share * radius * Math.sin(turn)];
      points.push(add(scale(u, right), scale(v, up)));
    }
  }
  return points;
}
