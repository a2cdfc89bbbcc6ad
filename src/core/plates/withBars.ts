import { footprintHull } from '../pose/footprintHull.ts';
import type { Bar } from '../supports/supportBodies.ts';
import type { Footprint } from './footprint.ts';
import { markTriangle, packRaster, unpackFootprint } from './footprintRaster.ts';

/** Corners of the polygon about a round end: half a hundredth of its radius too wide. */
const CORNERS = 32;

/** A part's footprint with that of its supports: the shadow of each bar, round ends told a hair too wide. */
export function withBars(footprint: Footprint, bars: readonly Bar[]): Footprint {
  const outlines = bars.map(barOutline);
  const { minX, minY, cellX, cellY, columns, rows } = footprint;
  const reach = { left: 0, right: 0, front: 0, back: 0 };
  for (const [x, y] of outlines.flat()) {
    reach.left = Math.max(reach.left, Math.ceil((minX - x) / cellX));
    reach.right = Math.max(reach.right, Math.ceil((x - minX) / cellX) - columns);
    reach.front = Math.max(reach.front, Math.ceil((minY - y) / cellY));
    reach.back = Math.max(reach.back, Math.ceil((y - minY) / cellY) - rows);
  }
  const raster = unpackFootprint(footprint, reach);
  for (const outline of outlines) {
    const [first, ...others] = outline;
    for (let n = 0; n + 1 < others.length; n++) {
      markTriangle(raster, ...first!, ...others[n]!, ...others[n + 1]!);
    }
  }
  return packRaster(raster);
}

function barOutline({ from, to, fromRadius, toRadius }: Bar): readonly (readonly [number, number])[] {
  const points: number[] = [];
  for (let n = 0; n < CORNERS; n++) {
    const turn = (2 * Math.PI * n) / CORNERS;
    const stretch = 1 / Math.cos(Math.PI / CORNERS);
    const [x, y] = [Math.cos(turn) * stretch, Math.sin(turn) * stretch];
    points.push(from[0] + fromRadius * x, from[1] + fromRadius * y, 0);
    points.push(to[0] + toRadius * x, to[1] + toRadius * y, 0);
  }
  return footprintHull(Float64Array.from(points));
}
