/**
 * Runs of solid that hang over more than carries itself, up to some slope. Those of layer n stand from `offsets[n]` to
 * `offsets[n + 1]`, by rows; print frame, mm.
 */
export interface HangingRuns {
  readonly offsets: Uint32Array;
  readonly row: Uint32Array;
  /** From and to along x, two numbers each. */
  readonly ends: Float64Array;
  /** The body that it is of, as the growth of the part numbers them. */
  readonly body: Uint32Array;
}
