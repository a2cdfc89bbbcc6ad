/**
 * The chambers of a posed part as upright columns, print frame, mm: for what lies between a hollow's floor
 * and the film. Column i + nx·j stands over x0 + (i + ½)·spacing, y0 + (j + ½)·spacing and holds runs
 * start[column] … start[column + 1] − 1 of void, from `low` to `high`, from the plate up.
 */
export interface ChamberColumns {
  readonly x0: number;
  readonly y0: number;
  readonly spacing: number;
  readonly nx: number;
  readonly ny: number;
  readonly start: Uint32Array;
  readonly low: Float32Array;
  readonly high: Float32Array;
  /** Chamber of each run, as in `Cavity.chambers`. */
  readonly chamber: Uint16Array;
}
