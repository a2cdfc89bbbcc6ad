import { squaredDistances } from '../layers/squaredDistances.ts';
import type { PlaneSection } from './planeSection.ts';

/** A grid in the plane of a cut: cell (i, j) has its middle at low + (i + ½, j + ½)·step. mm. */
export interface PlaneGrid {
  readonly low: readonly [number, number];
  readonly step: number;
  readonly columns: number;
  readonly rows: number;
}

/**
 * Of every cell that lies in a section, how far its middle is from the nearest cell that does not, mm;
 * 0 elsewhere, as beyond the grid. Right to about a step.
 */
export function insideDistance(section: PlaneSection, grid: PlaneGrid): Float32Array {
  const { columns, rows, step } = grid;
  const cells = cellsWithin(section, grid);
  const squared = squaredDistances({ width: columns, height: rows, cells });
  return Float32Array.from(squared, (value) => step * Math.sqrt(value));
}

/** 1 where a cell's middle lies in the section (winding 1 or more), row by row. */
function cellsWithin({ segments }: PlaneSection, { low, step, columns, rows }: PlaneGrid): Uint8Array {
  const crossings: [x: number, turn: number][][] = Array.from({ length: rows }, () => []);
  for (let at = 0; at < segments.length; at += 4) {
    const [ax, ay, bx, by] = [segments[at]!, segments[at + 1]!, segments[at + 2]!, segments[at + 3]!];
    const first = Math.max(0, Math.ceil((Math.min(ay, by) - low[1]) / step - 0.5));
    const last = Math.min(rows - 1, Math.ceil((Math.max(ay, by) - low[1]) / step - 0.5) - 1);
    for (let j = first; j <= last; j++) {
      const y = low[1] + (j + 0.5) * step;
      crossings[j]!.push([ax + ((y - ay) / (by - ay)) * (bx - ax), by < ay ? 1 : -1]);
    }
  }
  const within = new Uint8Array(columns * rows);
  crossings.forEach((row, j) => {
    row.sort((a, b) => a[0] - b[0]);
    let winding = 0;
    row.forEach(([x, turn], n) => {
      winding += turn;
      const until = row[n + 1]?.[0] ?? x;
      if (winding < 1) return;
      const from = Math.max(0, Math.ceil((x - low[0]) / step - 0.5));
      const to = Math.min(columns - 1, Math.ceil((until - low[0]) / step - 0.5) - 1);
      for (let i = from; i <= to; i++) within[j * columns + i] = 1;
    });
  });
  return within;
}
