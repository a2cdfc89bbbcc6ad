import type { Vec3 } from '../vector.ts';
import type { FreeSpace } from './freeSpace.ts';

/** Height of the tip's cone under the contact, mm. */
export const TIP_HEIGHT_MM = 2;
/** A strut leans at most half a right angle: steeper it carries itself as it is printed. */
const FARTHEST_LEAN_MM = 60;
const RING_MM = 0.5;
/** A knee is no lower, so that the widest strut's stays over the plate, mm. */
const LEAST_KNEE_MM = 2;
const AZIMUTHS = 16;
/** Beside a start the part is looked for as far as its own column reaches, mm. */
const FARTHEST_LEDGE_MM = 0.75;
const LEDGE_STEP_MM = 0.25;

const angles = Array.from({ length: AZIMUTHS }, (_, n) => (2 * Math.PI * n) / AZIMUTHS);
const COSINES = Float64Array.from(angles, Math.cos);
const SINES = Float64Array.from(angles, Math.sin);

/** How far the strut of a tip this high over the plate may lean to one side, mm. */
export const farthestLean = (heightMm: number): number =>
  Math.max(0, Math.min(heightMm - TIP_HEIGHT_MM - LEAST_KNEE_MM, FARTHEST_LEAN_MM));

export interface Route {
  readonly line: readonly Vec3[];
  readonly stands: 'plate' | 'part';
}

/** The ways struts may take: `bare` is the solid itself, `clear` what keeps a strut's clearance from it. */
export interface StrutRoom {
  readonly bare: FreeSpace;
  readonly clear: FreeSpace;
  /** What keeps the room of a foot from the solid, and how high the raft is, mm. */
  readonly feet: FreeSpace;
  readonly raftMm: number;
  /** The height of the highest solid under a place, mm; 0 where there is none. */
  topUnder(x: number, y: number, z: number): number;
  /** Half of the plate in x and y, its margin taken off, mm; feet stay on it. */
  readonly halfPlate: readonly [number, number];
}

/**
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
  // The part beside may share the tip's own column: the way then begins right above it.
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

/** The nearest place of the part beside a start that nothing of it lies under, no flatter below it than 45°. */
function ledgeBeside([x, y, z]: Vec3, { topUnder }: StrutRoom): Vec3 | null {
  for (let ring = LEDGE_STEP_MM; ring <= FARTHEST_LEDGE_MM; ring += LEDGE_STEP_MM) {
    for (let n = 0; n < AZIMUTHS; n++) {
      const [atX, atY] = [x + ring * COSINES[n]!, y + ring * SINES[n]!];
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
  const isFree = clear.isFreeBelow(x, y, z) && !clear.isBlocked(x, y, z);
  let sought = false;
  if (isFree && hasRoom(x, y)) {
    if (isOnPlate(x, y, halfPlate)) return upright([x, y, z]);
    offPlate([x, y, 0]);
    sought = true;
  }
  // Along each azimuth the ways to all knees are one ray: where it is blocked, all further ones are. It is followed only
  // as far as a knee that its strut could stand under, since most of what is asked for lies over the part.
  const followed = new Float64Array(AZIMUTHS);
  const isBarred = new Uint8Array(AZIMUTHS);
  const farthest = Math.min(z - LEAST_KNEE_MM, FARTHEST_LEAN_MM);
  const next = new Float64Array(AZIMUTHS);
  for (let ring = RING_MM; ring <= farthest; ring += RING_MM) {
    for (let ray = 0; ray < AZIMUTHS; ray++) {
      if (isBarred[ray] === 1 || ring < next[ray]!) continue;
      const [dx, dy] = [COSINES[ray]!, SINES[ray]!];
      const [kneeX, kneeY, kneeZ] = [x + ring * dx, y + ring * dy, z - ring];
      if (!clear.isFreeBelow(kneeX, kneeY, kneeZ)) {
        next[ray] = ring + clear.barrenFor(kneeX, kneeY, kneeZ, dx, dy);
        continue;
      }
      const isBeyond = !isOnPlate(kneeX, kneeY, halfPlate);
      // The first beyond the plate says all.
      if ((isBeyond && sought) || !hasRoom(kneeX, kneeY)) continue;
      for (; followed[ray]! < ring && isBarred[ray] === 0; followed[ray]! += RING_MM) {
        const from = followed[ray]!;
        const to = from + RING_MM;
        const isFreeOn = clear.isFreeAlong(
          x + from * dx,
          y + from * dy,
          z - from,
          x + to * dx,
          y + to * dy,
          z - to,
        );
        if (!isFreeOn) isBarred[ray] = 1;
      }
      if (isBarred[ray] === 1) continue;
      if (!isBeyond) {
        return [
          [x, y, z],
          [kneeX, kneeY, kneeZ],
          [kneeX, kneeY, 0],
        ];
      }
      offPlate([kneeX, kneeY, 0]);
      sought = true;
    }
  }
  return null;
}

const isOnPlate = (x: number, y: number, [halfX, halfY]: readonly [number, number]): boolean =>
  Math.abs(x) <= halfX && Math.abs(y) <= halfY;
