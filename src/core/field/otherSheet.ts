import { BRICK, type FieldLattice } from './fieldLattice.ts';
import type { SurfaceSamples } from './surfaceSamples.ts';

/** Samples within 20° of a sheet's closest point, seen from where it was asked for, are taken to lie on that sheet. */
const SAME_COSINE = Math.cos((20 * Math.PI) / 180);

/** The sheets round a point that are known: the ways to their closest points, as unit vectors. */
export interface KnownWays {
  readonly ways: Float64Array;
  count: number;
}

/**
 * A facet of the closest sample within `withinMm` of a point that lies another way than all sheets known: what
 * a search from facet to facet may not have come to. −1 where there is none.
 */
export function otherSheet(
  { points, facet, start }: SurfaceSamples,
  { origin, spacing, bricks }: FieldLattice,
  at: Float64Array,
  known: KnownWays,
  withinMm: number,
): number {
  const [x, y, z] = [at[0]!, at[1]!, at[2]!];
  const [nx, ny] = bricks;
  // A brick's samples are those nearer to its nodes than to the next brick's.
  const brickAt = (value: number, axis: number): number => {
    const place = Math.floor((value - origin[axis]! + spacing / 2) / (BRICK * spacing));
    return Math.max(0, Math.min(place, bricks[axis]! - 1));
  };
  const [iFrom, iTo] = [brickAt(x - withinMm, 0), brickAt(x + withinMm, 0)];
  const [jFrom, jTo] = [brickAt(y - withinMm, 1), brickAt(y + withinMm, 1)];
  const [kFrom, kTo] = [brickAt(z - withinMm, 2), brickAt(z + withinMm, 2)];
  let least = withinMm * withinMm;
  let best = -1;
  for (let k = kFrom; k <= kTo; k++) {
    for (let j = jFrom; j <= jTo; j++) {
      const row = nx * (j + ny * k);
      // Bricks of a row follow each other, and so do their samples.
      const end = start[row + iTo + 1]!;
      for (let s = start[row + iFrom]!; s < end; s++) {
        const dx = points[3 * s]! - x;
        const dy = points[3 * s + 1]! - y;
        const dz = points[3 * s + 2]! - z;
        const squared = dx * dx + dy * dy + dz * dz;
        if (squared >= least) continue;
        if (isKnown(known, dx, dy, dz, SAME_COSINE * Math.sqrt(squared))) continue;
        least = squared;
        best = s;
      }
    }
  }
  return best < 0 ? -1 : facet[best]!;
}

function isKnown({ ways, count }: KnownWays, x: number, y: number, z: number, most: number): boolean {
  for (let n = 0; n < 3 * count; n += 3)
    if (x * ways[n]! + y * ways[n + 1]! + z * ways[n + 2]! > most) return true;
  return false;
}
