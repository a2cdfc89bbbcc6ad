import type { FreeSpace } from '../../src/core/supports/freeSpace.ts';
import type { Route, StrutRoom } from '../../src/core/supports/routeStrut.ts';
import type { Vec3 } from '../../src/core/vector.ts';

/** Height of the tip's cone under the contact, mm. */
const TIP_HEIGHT_MM = 2;
/** A strut leans at most half a right angle: steeper it carries itself as it is printed. */
const FARTHEST_LEAN_MM = 60;
const RING_MM = 0.5;
/** A knee is no lower, so that the widest strut's stays over the plate, mm. */
const LEAST_KNEE_MM = 2;
const AZIMUTHS = 16;
/** Beside a start the part is looked for as far as its own column reaches, mm. */
const FARTHEST_LEDGE_MM = 0.75;
const LEDGE_STEP_MM = 0.25;

/**
 * The slower twin of `routeStrut`: every ray is followed ring by ring.
 *
 * The way of a strut from under a contact: upright to the plate; or leaning, by at most 45°, to the nearest column
 * that is free to the plate, with room for its foot; or, where there is none, upright to the part below. A start
 * that has neither gets a way that grazes the part, if there is one, or stands on what the part has right beside it.
 */
export function routeStrut(
  [x, y, z]: Vec3,
  isStart: boolean,
  room: StrutRoom,
  /** Told of feet that would have room, if the plate had no end. */
  offPlate: (foot: Vec3) => void = () => {},
): Route | null {
  const under = room.bare.blockedBelow(x, y, z);
  const head = Math.max(0, z - TIP_HEIGHT_MM);
  if (under === null || under < head) {
    const hasRoom = (atX: number, atY: number): boolean => room.feet.isFreeUpTo(atX, atY, room.raftMm);
    const free = leaning([x, y, head], room.clear, room.halfPlate, hasRoom, offPlate);
    if (free !== null) return { line: free, stands: 'plate' };
  }
  const floor = under === null ? 0 : room.topUnder(x, y, z);
  if (floor > 0) {
    const top = Math.max(head, (z + floor) / 2);
    return {
      line: [
        [x, y, top],
        [x, y, floor],
      ],
      stands: 'part',
    };
  }
  if (!isStart) return null;
  for (const top of under === null || under <= head || under >= z ? [head] : [head, under]) {
    const grazing = leaning([x, y, top], room.bare, room.halfPlate, () => true, offPlate);
    if (grazing !== null) return { line: grazing, stands: 'plate' };
  }
  const ledge = under === null ? null : ledgeBeside([x, y, z], room);
  if (ledge !== null) return { line: [[x, y, (z + ledge[2]) / 2], ledge], stands: 'part' };
  // Right over the plate the part beside shares the place's own column.
  const isStub = head === 0 && isOnPlate(x, y, room.halfPlate);
  return isStub ? { line: upright([x, y, head]), stands: 'plate' } : null;
}

function ledgeBeside([x, y, z]: Vec3, { topUnder }: StrutRoom): Vec3 | null {
  for (let ring = LEDGE_STEP_MM; ring <= FARTHEST_LEDGE_MM; ring += LEDGE_STEP_MM) {
    for (let n = 0; n < AZIMUTHS; n++) {
      const angle = (2 * Math.PI * n) / AZIMUTHS;
      const [atX, atY] = [x + ring * Math.cos(angle), y + ring * Math.sin(angle)];
      const top = topUnder(atX, atY, z);
      if (top > 0 && z - top >= ring) return [atX, atY, top];
    }
  }
  return null;
}

const upright = ([x, y, z]: Vec3): Vec3[] => [
  [x, y, z],
  [x, y, 0],
];

function leaning(
  [x, y, z]: Vec3,
  clear: FreeSpace,
  halfPlate: StrutRoom['halfPlate'],
  hasRoom: (x: number, y: number) => boolean,
  offPlate: (foot: Vec3) => void,
): Vec3[] | null {
  const isFree = clear.blockedBelow(x, y, z) === null && !clear.isBlocked(x, y, z);
  let sought = false;
  if (isFree && hasRoom(x, y)) {
    if (isOnPlate(x, y, halfPlate)) return upright([x, y, z]);
    offPlate([x, y, 0]);
    sought = true;
  }
  // Along each azimuth the ways to all knees are one ray: where it is blocked, all further ones are.
  const rays = Array.from({ length: AZIMUTHS }, (_, n) => {
    const angle = (2 * Math.PI * n) / AZIMUTHS;
    return { dx: Math.cos(angle), dy: Math.sin(angle), free: true };
  });
  for (
    let ring = RING_MM;
    ring <= Math.min(z - LEAST_KNEE_MM, FARTHEST_LEAN_MM) && rays.some(({ free }) => free);
    ring += RING_MM
  ) {
    for (const ray of rays) {
      if (!ray.free) continue;
      const on = (r: number): Vec3 => [x + r * ray.dx, y + r * ray.dy, z - r];
      const knee = on(ring);
      ray.free = clear.isFree(on(ring - RING_MM), knee);
      if (!ray.free) continue;
      const isBeyond = !isOnPlate(knee[0], knee[1], halfPlate);
      // The first beyond the plate says all.
      if (isBeyond && sought) continue;
      if (clear.blockedBelow(knee[0], knee[1], knee[2]) !== null || !hasRoom(knee[0], knee[1])) continue;
      if (isBeyond) {
        offPlate([knee[0], knee[1], 0]);
        sought = true;
        continue;
      }
      return [[x, y, z], knee, [knee[0], knee[1], 0]];
    }
  }
  return null;
}

const isOnPlate = (x: number, y: number, [halfX, halfY]: readonly [number, number]): boolean =>
  Math.abs(x) <= halfX && Math.abs(y) <= halfY;
