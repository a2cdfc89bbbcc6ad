/** Lowest and highest value of the layers that share each pixel column, both `columns` long. */
export interface ColumnRange {
  readonly low: Float32Array;
  readonly high: Float32Array;
}

/**
 * Down-samples a curve by layer to pixel columns without losing a peak: column c covers every layer
 * it touches, at least one, so the largest of `high` is the curve's own peak. Values that are not
 * finite are passed over; a column of nothing else is 0.
 */
export function columnRange(values: Float32Array, columns: number): ColumnRange {
  const low = new Float32Array(columns);
  const high = new Float32Array(columns);
  const layers = values.length;
  for (let column = 0; column < columns && layers > 0; column++) {
    const first = Math.floor((column * layers) / columns);
    const end = Math.max(first + 1, Math.ceil(((column + 1) * layers) / columns));
    let least = Number.POSITIVE_INFINITY;
    let most = Number.NEGATIVE_INFINITY;
    for (let layer = first; layer < end && layer < layers; layer++) {
      const value = values[layer]!;
      if (!Number.isFinite(value)) continue;
      if (value < least) least = value;
      if (value > most) most = value;
    }
    if (least > most) continue;
    low[column] = least;
    high[column] = most;
  }
  return { low, high };
}

/** Largest finite value of a curve and its layer; layer −1 when there is none. */
export function peakOf(values: Float32Array): { readonly layer: number; readonly value: number } {
  let layer = -1;
  let value = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < values.length; i++) {
    if (Number.isFinite(values[i]!) && values[i]! > value) {
      value = values[i]!;
      layer = i;
    }
  }
  return { layer, value: layer < 0 ? 0 : value };
}
