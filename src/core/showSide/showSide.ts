import { dot, subtract, type Vec3 } from '../vector.ts';
import type { ShowOutline } from './showOutline.ts';
import { borderAt, lidHeight, type ShowPane, showPane } from './showPane.ts';

/** The show side of a part, in the frame of its outlines. */
export interface ShowSide {
  /**
   * How far a disc that lies on the surface reaches over the border into the show side, at most its
   * radius more than its centre does; `facing` is the surface's unit normal there. Zero or less: not at all.
   */
  reach(at: Vec3, facing: Vec3, radius: number): number;
  /** True where a point of the surface is show side. */
  holds(at: Vec3, facing: Vec3): boolean;
}

/** Cosine between a surface and an outline's facing that still counts as seen from there: 84°. Engineering choice. */
export const LEAST_FACING = 0.1;
/** How far the surface may bulge over the lid that spans an outline, and lie under it, in diameters of the outline. Engineering choice. */
export const BULGE_DIAMETERS = 1;
export const DENT_DIAMETERS = 0.6;

/**
 * What outlines mark. A place of the surface belongs to an outline when, seen along the outline's facing,
 * it lies within it, looks that way itself, and lies neither so far over nor so far under the lid spanned
 * into the outline that it must be another surface (the far wall of an open bell, say). No facet is
 * followed, so a surface triangulated anew has the same show side. An outline sees half round a body at
 * most: more than that takes two.
 */
export function showSide(outlines: readonly ShowOutline[]): ShowSide {
  const panes = outlines.flatMap((outline) => showPane(outline) ?? []);
  const reach = (at: Vec3, facing: Vec3, radius: number): number =>
    panes.reduce((most, pane) => Math.max(most, reachInto(pane, at, facing, radius)), -Infinity);
  return { reach, holds: (at, facing) => reach(at, facing, 0) > 0 };
}

function reachInto(pane: ShowPane, at: Vec3, facing: Vec3, radius: number): number {
  if (!(dot(facing, pane.facing) >= LEAST_FACING)) return -Infinity;
  const from = subtract(at, pane.origin);
  const [x, y] = [dot(from, pane.u), dot(from, pane.v)];
  const { distance } = borderAt(pane, x, y);
  if (distance + radius <= 0) return distance + radius;
  const over = dot(from, pane.facing) - lidHeight(pane, x, y);
  const isOther = over > BULGE_DIAMETERS * pane.diameter || over < -DENT_DIAMETERS * pane.diameter;
  return isOther ? -Infinity : distance + radius;
}
