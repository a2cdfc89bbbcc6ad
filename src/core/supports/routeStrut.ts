import type { Vec3 } from '../vector.ts';
import type { FreeSpace } from './freeSpace.ts';

/** Height of the tip's cone under the contact, mm. */
export const TIP_HEIGHT_MM = 2;
/** A strut leans at most half a right angle: steeper it carries itself as it is printed. */
const FARTHEST_LEAN_MM = 60;
const RING_MM = 0.5;
const AZIMUTHS = 16;
export interface Route {
  readonly line: readonly Vec3[];
  readonly stands: 'plate' | 'part';
}

/** The ways struts may take: `bare` is the solid itself, `clear` what keeps a strut's clearance from it. */
export interface StrutRoom {
  readonly bare: FreeSpace;
  readonly clear: FreeSpace;
  /** The exact height of the solid's top under a place near it, mm: `bare` knows it to a step. */
  topUnder(x: number, y: number, z: number): number;
  /** Half of the plate in x and y, its margin taken off, mm; feet stay on it. */
  readonly halfPlate: readonly [number, number];
}

/**
 * The way of a strut from under a contact: upright to the plate; or leaning, by at most 45°, to the nearest column
 * that is free to the plate; or, where there is none, upright to the part below. Where neither is, a way that
 * grazes the part, or null.
 */
export function routeStrut([x, y, z]: Vec3, room: StrutRoom): Route | null {
  const under = room.bare.blockedBelow(x, y, z);
  const head = Math.max(0, z - TIP_HEIGHT_MM);
  if (under === null || under < head) {
    const free = leaning([x, y, head], room.clear, room.halfPlate);
    if (free !== null) return { line: free, stands: 'plate' };
  }
  if (under === null) {
    const grazing = leaning([x, y, head], room.bare, room.halfPlate);
    return grazing && { line: grazing, stands: 'plate' };
  }
  const floor = room.topUnder(x, y, under);
  const top = Math.max(head, (z + floor) / 2);
  return {
    line: [
      [x, y, top],
      [x, y, floor],
    ],
    stands: floor > 0 ? 'part' : 'plate',
  };
}

const upright = ([x, y, z]: Vec3): Vec3[] => [
  [x, y, z],
  [x, y, 0],
];

function leaning([x, y, z]: Vec3, clear: FreeSpace, halfPlate: StrutRoom['halfPlate']): Vec3[] | null {
  if (clear.blockedBelow(x, y, z) === null && !clear.isBlocked(x, y, z) && isOnPlate(x, y, halfPlate)) {
    return upright([x, y, z]);
  }
  // Along each azimuth the ways to all knees are one ray: where it is blocked, all further ones are.
  const rays = Array.from({ length: AZIMUTHS }, (_, n) => {
    const angle = (2 * Math.PI * n) / AZIMUTHS;
    return { dx: Math.cos(angle), dy: Math.sin(angle), free: true };
  });
  for (
    let ring = RING_MM;
    ring <= Math.min(z, FARTHEST_LEAN_MM) && rays.some(({ free }) => free);
    ring += RING_MM
  ) {
    for (const ray of rays) {
      if (!ray.free) continue;
      const on = (r: number): Vec3 => [x + r * ray.dx, y + r * ray.dy, z - r];
      const knee = on(ring);
      ray.free = clear.isFree(on(ring - RING_MM), knee);
      if (!ray.free || !isOnPlate(knee[0], knee[1], halfPlate)) continue;
      if (clear.blockedBelow(knee[0], knee[1], knee[2]) !== null) continue;
      return [[x, y, z], knee, [knee[0], knee[1], 0]];
    }
  }
  return null;
}

const isOnPlate = (x: number, y: number, [halfX, halfY]: readonly [number, number]): boolean =>
  Math.abs(x) <= halfX && Math.abs(y) <= halfY;
