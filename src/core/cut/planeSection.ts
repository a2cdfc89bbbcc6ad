import type { Mesh } from '../mesh/mesh.ts';
import { type CutPlane, inPlane } from './cutPlane.ts';

/** Where a closed mesh meets a plane: directed segments in the plane's own coordinates, solid on their left. */
export interface PlaneSection {
  /** x, y of the start and x, y of the end, four numbers a segment. */
  readonly segments: Float64Array;
  /** Facet of each segment. */
  readonly facets: Uint32Array;
  readonly area: number;
}

/**
 * The section at a height over the plane, scaled by `factor`. `heights` are those of the mesh's vertices
 * over the plane, in the unit of the mesh; `height` in that unit too. A vertex at the height itself counts
 * as above it, so that the segments always close.
 */
export function planeSection(
  { positions, triangles }: Mesh,
  plane: CutPlane,
  heights: Float64Array,
  height: number,
  factor: number,
): PlaneSection {
  const ends: number[] = [];
  const facets: number[] = [];
  const crossing = (a: number, b: number): void => {
    // From the lower index, so that both facets of an edge find the same point.
    const [low, high] = a < b ? [a, b] : [b, a];
    const t = (height - heights[low]!) / (heights[high]! - heights[low]!);
    const at = (axis: number) =>
      positions[3 * low + axis]! + t * (positions[3 * high + axis]! - positions[3 * low + axis]!);
    const [x, y] = inPlane(plane, [at(0), at(1), at(2)]);
    ends.push(factor * x, factor * y);
  };
  for (let at = 0; at < triangles.length; at += 3) {
    const a = triangles[at]!;
    const b = triangles[at + 1]!;
    const c = triangles[at + 2]!;
    const aOver = heights[a]! >= height;
    const bOver = heights[b]! >= height;
    const cOver = heights[c]! >= height;
    if (aOver === bOver && bOver === cOver) continue;
    facets.push(at / 3);
    // It enters the upper side along one edge and leaves it along another: solid is left of leaving → entering.
    if (aOver && !bOver) crossing(a, b);
    else if (bOver && !cOver) crossing(b, c);
    else crossing(c, a);
    if (!aOver && bOver) crossing(a, b);
    else if (!bOver && cOver) crossing(b, c);
    else crossing(c, a);
  }
  const segments = Float64Array.from(ends);
  return { segments, facets: Uint32Array.from(facets), area: areaOf(segments) };
}

/** Shoelace about the first point, which keeps the terms small. */
function areaOf(segments: Float64Array): number {
  const [x, y] = [segments[0] ?? 0, segments[1] ?? 0];
  let doubled = 0;
  for (let at = 0; at < segments.length; at += 4) {
    doubled +=
      (segments[at]! - x) * (segments[at + 3]! - y) - (segments[at + 2]! - x) * (segments[at + 1]! - y);
  }
  return doubled / 2;
}

/** Whether a point of the plane lies in the section: its winding number is 1 or more. */
export function isInSection({ segments }: PlaneSection, x: number, y: number): boolean {
  let winding = 0;
  for (let at = 0; at < segments.length; at += 4) {
    const [ax, ay, bx, by] = [segments[at]!, segments[at + 1]!, segments[at + 2]!, segments[at + 3]!];
    if (ay <= y === by <= y) continue;
    const leftOf = (bx - ax) * (y - ay) - (x - ax) * (by - ay);
    if (ay <= y && leftOf > 0) winding++;
    if (by <= y && leftOf < 0) winding--;
  }
  return winding > 0;
}
