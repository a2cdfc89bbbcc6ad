import type { ChamberColumns } from '../chambers/chamberColumns.ts';

/** Columns of chambers counted in whole layers, with room to work in. */
export interface FilmColumns extends ChamberColumns {
  readonly layerHeight: number;
  /** First layer of each run, and the one after its last. */
  readonly from: Int32Array;
  readonly to: Int32Array;
  /** By run; −1 wherever nobody is at work. */
  readonly nodeOf: Int32Array;
  readonly mouthOf: Int16Array;
}

/** A layer is void where its middle is, as in the ray grid. */
export function filmColumns(columns: ChamberColumns, layerHeight: number): FilmColumns {
  const runs = columns.low.length;
  const from = new Int32Array(runs);
  const to = new Int32Array(runs);
  for (let run = 0; run < runs; run++) {
    from[run] = Math.ceil(columns.low[run]! / layerHeight - 0.5);
    to[run] = Math.ceil(columns.high[run]! / layerHeight - 0.5);
  }
  const [nodeOf, mouthOf] = [new Int32Array(runs).fill(-1), new Int16Array(runs).fill(-1)];
  return { ...columns, layerHeight, from, to, nodeOf, mouthOf };
}
