import type { Vec3 } from '../vector.ts';
import type { FreeSpace } from './freeSpace.ts';

/** Height of the tip's cone under the contact, mm. */
export const TIP_HEIGHT_MM = 2;
/** A strut leans at most half a right angle: steeper it carries itself as it is printed. */
const FARTHEST_LEAN_MM = 60;
const RING_MM = 0.5;
const AZIMUTHS = 16;
/** mm; a strut that stands on the part needs this height for a tip at each end. */
const LEAST_INNER_MM = 1;

export interface Route {
  readonly line: readonly Vec3[];
  readonly stands: 'plate' | 'part';
}

/** The ways struts may take: `bare` is the solid itself, `clear` what keeps a strut's clearance from it. */
export interface StrutRoom {
  readonly bare: FreeSpace;
  readonly clear: FreeSpace;
  /** Half of the plate in x and y, its margin taken off, mm; feet stay on it where they can. */
  readonly halfPlate: readonly [number, number];
}

/**
 * The way of a strut from under a contact: upright to the plate; or leaning, by at most 45°, to the nearest column
 * that is free to the plate; or, where there is none, upright to the part below. Null where the part is too near.
 */
export function routeStrut([x, y, z]: Vec3, room: StrutRoom): Route | null {
  const under = room.bare.blockedBelow(x, y, z);
  const head = Math.max(0, z - TIP_HEIGHT_MM);
  if (under === null || under < head) {
    const free = leaning([x, y, head], room);
    if (free !== null) return { line: free, stands: 'plate' };
  }
  if (under === null || z - under < LEAST_INNER_MM) return null;
  const top = under < head - LEAST_INNER_MM ? head : (z + under) / 2;
  return {
    line: [
      [x, y, top],
      [x, y, under],
    ],
    stands: 'part',
  };
}

function leaning([x, y, z]: Vec3, { clear, halfPlate }: StrutRoom): Vec3[] | null {
  if (clear.blockedBelow(x, y, z) === null && !clear.isBlocked(x, y, z) && isOnPlate(x, y, halfPlate)) {
    return [
      [x, y, z],
      [x, y, 0],
    ];
  }
  for (let ring = RING_MM; ring <= Math.min(z, FARTHEST_LEAN_MM); ring += RING_MM) {
    for (let n = 0; n < AZIMUTHS; n++) {
      const angle = (2 * Math.PI * n) / AZIMUTHS;
      const knee: Vec3 = [x + ring * Math.cos(angle), y + ring * Math.sin(angle), z - ring];
      if (!isOnPlate(knee[0], knee[1], halfPlate)) continue;
      if (clear.blockedBelow(knee[0], knee[1], knee[2]) !== null) continue;
      if (!clear.isFree([x, y, z], knee)) continue;
      return [[x, y, z], knee, [knee[0], knee[1], 0]];
    }
  }
  return null;
}

const isOnPlate = (x: number, y: number, [halfX, halfY]: readonly [number, number]): boolean =>
  Math.abs(x) <= halfX && Math.abs(y) <= halfY;
