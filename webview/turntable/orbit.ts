import type { Vec3 } from '../../src/core/vector.ts';
import type { Orbit } from '../../src/protocol/look.ts';

/** Just short of straight up and down, where the azimuth would lose its meaning. */
const steepest = Math.PI / 2 - 1e-4;

export function orbitPosition({ target, distance, azimuth, elevation }: Orbit): Vec3 {
  const flat = distance * Math.cos(elevation);
  return [
    target[0] + flat * Math.cos(azimuth),
    target[1] + flat * Math.sin(azimuth),
    target[2] + distance * Math.sin(elevation),
  ];
}

export function orbitFrom(position: Vec3, target: Vec3): Orbit {
  const [x, y, z] = [position[0] - target[0], position[1] - target[1], position[2] - target[2]];
  const distance = Math.hypot(x, y, z) || 1;
  return { target, distance, azimuth: Math.atan2(y, x), elevation: Math.asin(z / distance) };
}

export function turned(orbit: Orbit, azimuth: number, elevation: number): Orbit {
  const clamped = Math.max(-steepest, Math.min(steepest, orbit.elevation + elevation));
  return { ...orbit, azimuth: orbit.azimuth + azimuth, elevation: clamped };
}

/** Moves camera and target together, in shares of the distance: right and up as seen. */
export function moved(orbit: Orbit, right: number, up: number): Orbit {
  const { azimuth: a, elevation: e, distance: d, target: t } = orbit;
  const target: Vec3 = [
    t[0] + d * (-right * Math.sin(a) - up * Math.sin(e) * Math.cos(a)),
    t[1] + d * (right * Math.cos(a) - up * Math.sin(e) * Math.sin(a)),
    t[2] + d * up * Math.cos(e),
  ];
  return { ...orbit, target };
}

/** The orbit a share of the way from one to another, the short way round. */
export function between(from: Orbit, to: Orbit, share: number): Orbit {
  const lerp = (a: number, b: number): number => a + (b - a) * share;
  const turn = Math.atan2(Math.sin(to.azimuth - from.azimuth), Math.cos(to.azimuth - from.azimuth));
  return {
    target: [0, 1, 2].map((i) => lerp(from.target[i]!, to.target[i]!)) as unknown as Vec3,
    distance: lerp(from.distance, to.distance),
    azimuth: from.azimuth + turn * share,
    elevation: lerp(from.elevation, to.elevation),
  };
}

const degree = Math.PI / 180;

/** What a key does to the camera; null when the key is not ours. */
export function orbitForKey(orbit: Orbit, key: string, shift: boolean): Orbit | null {
  const arrows: Record<string, readonly [number, number]> = {
    ArrowLeft: [-1, 0],
    ArrowRight: [1, 0],
    ArrowUp: [0, 1],
    ArrowDown: [0, -1],
  };
  const arrow = arrows[key];
  if (arrow !== undefined) {
    const [right, up] = arrow;
    return shift ? moved(orbit, 0.05 * right, 0.05 * up) : turned(orbit, 5 * degree * right, 5 * degree * up);
  }
  if (key === '+' || key === '=') return { ...orbit, distance: orbit.distance / 1.15 };
  if (key === '-' || key === '_') return { ...orbit, distance: orbit.distance * 1.15 };
  return null;
}

export type Direction = 'front' | 'above' | 'below' | 'corner';

/** The whole of a ball in sight, from a named direction. The front looks along +y, as at a figure. */
export function framed(centre: Vec3, radius: number, halfAngle: number, direction: Direction): Orbit {
  const azimuth = direction === 'corner' ? -60 * degree : -90 * degree;
  const elevation = { front: 0, corner: 20 * degree, above: steepest, below: -steepest }[direction];
  return { target: centre, distance: (1.15 * radius) / Math.sin(halfAngle), azimuth, elevation };
}
