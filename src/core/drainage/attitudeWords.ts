import type { Vec3 } from '../vector.ts';

/** Nearer than this to standing, hanging or lying it is called so. */
const NEAR_DEG = 8;
/** A second side is named when it points down at least this part as much as the first. */
const SIDE_SHARE = 0.4;

/**
 * How to hold a part so that this unit vector of the print frame points to the ground, in words: seen
 * from how it stands on the plate (plate end down) and how it hangs while it is printed.
 */
export function attitudeWords([x, y, z]: Vec3): string {
  const tilt = (Math.acos(Math.min(1, Math.max(-1, -z))) * 180) / Math.PI;
  if (tilt <= NEAR_DEG) return 'plate end down';
  if (tilt >= 180 - NEAR_DEG) return 'film end down';
  const side = `its plate ${sides(x, y)} side down`;
  if (Math.abs(tilt - 90) <= NEAR_DEG) return `lying, ${side}`;
  return tilt < 90
    ? `plate end down, tipped ${Math.round(tilt)}° with ${side}`
    : `film end down, tipped ${Math.round(180 - tilt)}° with ${side}`;
}

function sides(x: number, y: number): string {
  const names = [
    { size: Math.abs(x), name: x < 0 ? '−x' : '+x' },
    { size: Math.abs(y), name: y < 0 ? '−y' : '+y' },
  ].sort((a, b) => b.size - a.size);
  const [first, second] = names as [(typeof names)[0], (typeof names)[0]];
  return second.size >= SIDE_SHARE * first.size ? `${first.name} ${second.name}` : first.name;
}
