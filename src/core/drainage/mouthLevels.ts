import { dot, type Vec3 } from '../vector.ts';
import type { ChamberMouth } from './chamberMouth.ts';

/** Heights of a mouth along `up`, mm. */
export interface MouthLevels {
  /** Lowest point over which liquid must rise to leave by it: the higher of the bore's two lower edges. */
  readonly sill: number;
  /** Lower edge of the outer mouth: where the liquid column ends. */
  readonly exit: number;
  /** Middle and upper edge of the inner mouth: where air comes in. */
  readonly middle: number;
  readonly top: number;
  /** Vertical extent of the mouth: 0 when it faces straight down, its diameter when it faces sideways. */
  readonly rise: number;
}

export function mouthLevels({ outer, inner, axis, radius }: ChamberMouth, up: Vec3): MouthLevels {
  const across = radius * Math.sqrt(Math.max(0, 1 - dot(axis, up) ** 2));
  const exit = dot(outer, up) - across;
  const middle = dot(inner, up);
  return { sill: Math.max(exit, middle - across), exit, middle, top: middle + across, rise: 2 * across };
}
