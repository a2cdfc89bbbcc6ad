import { type Affine, applyAffine } from '../affine.ts';
import type { Vec3 } from '../vector.ts';

/**
 * A closed line on a part's surface: what it holds is show side. It names points, not facets, so that
 * it means the same on the same sculpt exported again. Frame as its owner says.
 */
export interface ShowOutline {
  /** At least three points, in order. */
  readonly outline: readonly Vec3[];
  /** Out of the surface, towards who looks at it, any length. Null: the points run counter-clockwise as seen from there. */
  readonly facing: Vec3 | null;
}

/** The outline in another frame (a turn, a shift and one common factor). */
export function movedOutline({ outline, facing }: ShowOutline, map: Affine): ShowOutline {
  const turn: Affine = { linear: map.linear, shift: [0, 0, 0] };
  return {
    outline: outline.map((point) => applyAffine(map, point)),
    facing: facing === null ? null : applyAffine(turn, facing),
  };
}
