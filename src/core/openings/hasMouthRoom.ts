import { add, scale, type Vec3 } from '../vector.ts';
import { basisAcross } from './basisAcross.ts';
import { lineHits } from './lineHits.ts';
import type { PlacedOpening } from './opening.ts';
import type { SurfaceIndex } from './surfaceIndex.ts';

/** Lines round the mouth by which its rim is felt. */
const RIM_LINES = 12;
/** Solid that is to stand round the mouth, mm. Engineering choice. */
const AROUND_MM = 0.5;
/** Radii by which the rim may lie under or over the middle of the mouth: a limb as wide as 1.25 mouths. Engineering choice. */
const LEVEL = 0.5;
/** Radii that must be free before the mouth: with half of one the way in round its rim, 2πr·(r/2), is as wide as the mouth, πr². */
const FREE = 0.5;
/** The mouth's own surface is met within this of it, mm. */
const AT_MOUTH_MM = 0.01;
/** A mouth lower than this over the plate would be closed by it, mm. */
export const OFF_PLATE_MM = 0.5;

/**
 * Whether a mouth has the surface all round it and room before it: no edge or crease under its rim, nothing
 * of the part before it within half a radius, and the plate not either. `facing` is the surface's mean unit normal
 * over it, outward. Print frame.
 */
export function hasMouthRoom(
  { mouth, radius }: Pick<PlacedOpening, 'mouth' | 'radius'>,
  facing: Vec3,
  outer: SurfaceIndex,
): boolean {
  const rise = radius * Math.sqrt(Math.max(0, 1 - facing[2] ** 2));
  const before = mouth[2] + Math.min(-rise, FREE * radius * facing[2]);
  if (before <= OFF_PLATE_MM) return false;
  const inward = scale(facing, -1);
  const level = LEVEL * radius + AROUND_MM;
  const [u, v] = basisAcross(inward);
  for (let n = 0; n < RIM_LINES; n++) {
    const turn = (2 * Math.PI * n) / RIM_LINES;
    const rim = radius + AROUND_MM;
    const across = add(scale(u, rim * Math.cos(turn)), scale(v, rim * Math.sin(turn)));
    // Coming in beside the mouth, the first thing met must be the surface about level with it.
    const [first] = lineHits(outer, add(mouth, across), inward, -level, level);
    if (first === undefined || !first.entering) return false;
  }
  return lineHits(outer, mouth, inward, -FREE * radius, -AT_MOUTH_MM).length === 0;
}
