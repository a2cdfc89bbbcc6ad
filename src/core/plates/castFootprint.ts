import type { Interrupter } from '../interrupter.ts';
import { boundsOf } from '../mesh/boundsOf.ts';
import type { Mesh } from '../mesh/mesh.ts';
import type { Footprint } from './footprint.ts';
import { markTriangle, packRaster } from './footprintRaster.ts';

/** Width of a cell, about, mm; more where that would be too many cells. */
const CELL_MM = 0.1;
const MOST_CELLS = 4e6;
const MOST_ALONG = 20_000;

const facetsPerTick = 1 << 14;

/**
 * The shadow of a posed mesh: of all its facets, so that an open mesh has one too. Of a closed one those that
 * face down are enough: whatever line goes up through the mesh comes in through one of them. One pass.
 */
export function castFootprint(
  { positions, triangles }: Mesh,
  interrupter: Interrupter,
  isClosed = false,
): Footprint {
  const { min, max } = boundsOf(positions);
  const [width, depth] = [max[0] - min[0], max[1] - min[1]];
  const cell = Math.max(
    CELL_MM,
    Math.sqrt((width * depth) / MOST_CELLS),
    Math.max(width, depth) / MOST_ALONG,
  );
  const columns = Math.max(1, Math.ceil(width / cell));
  const rows = Math.max(1, Math.ceil(depth / cell));
  const raster = {
    minX: min[0],
    minY: min[1],
    cellX: width > 0 ? width / columns : cell,
    cellY: depth > 0 ? depth / rows : cell,
    columns,
    rows,
    cells: new Uint8Array(columns * rows),
  };
  for (let at = 0; at < triangles.length; at += 3) {
    if (at % (3 * facetsPerTick) === 0) interrupter(at / triangles.length);
    const a = 3 * triangles[at]!;
    const b = 3 * triangles[at + 1]!;
    const c = 3 * triangles[at + 2]!;
    const ax = positions[a]!;
    const ay = positions[a + 1]!;
    const bx = positions[b]!;
    const by = positions[b + 1]!;
    const cx = positions[c]!;
    const cy = positions[c + 1]!;
    if (isClosed && (bx - ax) * (cy - ay) - (by - ay) * (cx - ax) >= 0) continue;
    markTriangle(raster, ax, ay, bx, by, cx, cy);
  }
  return packRaster(raster);
}
