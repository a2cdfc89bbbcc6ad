import { rowY } from '../rays/lattice.ts';
import type { Runs } from '../rays/runs.ts';
import type { LayerComponents } from './layerComponents.ts';

/** Per component of `layerComponents`: area in mm², centroid in mm, and how many rows it spans. */
export interface ComponentFigures {
  readonly area: Float64Array;
  readonly centroidX: Float64Array;
  readonly centroidY: Float64Array;
  readonly rowSpan: Uint32Array;
}

export function componentFigures(
  { lattice, offsets, ends }: Runs,
  { start, component }: LayerComponents,
): ComponentFigures {
  const count = start[start.length - 1]!;
  const area = new Float64Array(count);
  const centroidX = new Float64Array(count);
  const centroidY = new Float64Array(count);
  const rowSpan = new Uint32Array(count);
  const firstRow = new Uint32Array(count);
  const { rows, layers, dy } = lattice;
  for (let row = 0; row < rows * layers; row++) {
    const inLayer = row % rows;
    const y = rowY(lattice, inLayer);
    const last = offsets[row + 1]!;
    for (let run = offsets[row]!; run < last; run++) {
      const c = component[run]!;
      const length = ends[2 * run + 1]! - ends[2 * run]!;
      if (rowSpan[c] === 0) firstRow[c] = inLayer;
      rowSpan[c] = inLayer - firstRow[c]! + 1;
      area[c]! += length;
      centroidX[c]! += (length * (ends[2 * run + 1]! + ends[2 * run]!)) / 2;
      centroidY[c]! += length * y;
    }
  }
  for (let c = 0; c < count; c++) {
    centroidX[c]! /= area[c]!;
    centroidY[c]! /= area[c]!;
    area[c]! *= dy;
  }
  return { area, centroidX, centroidY, rowSpan };
}
