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
 * 0 elsewhere. Right to about a step. Exact Euclidean distances between cells, in two passes
 * (Felzenszwalb & Huttenlocher 2012, “Distance transforms of sampled functions”).
 */
export function insideDistance(section: PlaneSection, grid: PlaneGrid): Float32Array {
  const { columns, rows, step } = grid;
  const squared = squaresToFill(cellsWithin(section, grid));
  const line = new Float64Array(Math.max(columns, rows));
  const envelope = lowerEnvelope(line.length);
  for (let i = 0; i < columns; i++) {
    for (let j = 0; j < rows; j++) line[j] = squared[j * columns + i]!;
    // Beyond the grid's edge nothing is solid.
    envelope.transform(line, rows, (j, value) => {
      squared[j * columns + i] = Math.min(value, (j + 1) ** 2, (rows - j) ** 2);
    });
  }
  const distances = new Float32Array(columns * rows);
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) line[i] = squared[j * columns + i]!;
    envelope.transform(line, columns, (i, value) => {
      distances[j * columns + i] = step * Math.sqrt(Math.min(value, (i + 1) ** 2, (columns - i) ** 2));
    });
  }
  return distances;
}

/** Larger than any square of a distance in a grid. */
const FAR = 1e12;

const squaresToFill = (within: Uint8Array): Float64Array => Float64Array.from(within, (cell) => cell * FAR);

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

/** Squared distances along one line: the lower envelope of parabolas that stand on its values. */
function lowerEnvelope(most: number) {
  const at = new Int32Array(most);
  const border = new Float64Array(most + 1);
  return {
    transform(values: Float64Array, length: number, put: (index: number, value: number) => void): void {
      let last = 0;
      at[0] = 0;
      border[0] = -Infinity;
      border[1] = Infinity;
      for (let q = 1; q < length; q++) {
        let meets = meeting(values, at[last]!, q);
        while (meets <= border[last]!) meets = meeting(values, at[--last]!, q);
        at[++last] = q;
        border[last] = meets;
        border[last + 1] = Infinity;
      }
      let k = 0;
      const found = new Float64Array(length);
      for (let q = 0; q < length; q++) {
        while (border[k + 1]! < q) k++;
        found[q] = (q - at[k]!) ** 2 + values[at[k]!]!;
      }
      for (let q = 0; q < length; q++) put(q, found[q]!);
    },
  };
}

const meeting = (values: Float64Array, p: number, q: number): number =>
  (values[q]! + q * q - (values[p]! + p * p)) / (2 * (q - p));
