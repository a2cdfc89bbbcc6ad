/**
 * A symmetric matrix by the lower part of its rows, each from its first column that is not 0 to the diagonal:
 * row i holds columns first[i] … i at rowStart[i] … rowStart[i + 1] − 1 of `values`.
 */
export interface Envelope {
  readonly rowStart: Uint32Array;
  readonly first: Uint32Array;
  readonly values: Float64Array;
}

/** A pivot under this share of its diagonal is none: the matrix is singular to the accuracy of its figures. */
const leastPivot = 1e-13;

/**
 * The factor L of A = L·Lᵀ, in place of the matrix; null where that is not positive definite. Nothing is
 * filled in outside the envelope (George & Liu 1981, from memory), so nodes should be numbered breadth first.
 */
export function choleskyFactor(matrix: Envelope): Envelope | null {
  const { rowStart, first, values } = matrix;
  const count = first.length;
  for (let i = 0; i < count; i++) {
    const row = rowStart[i]! - first[i]!;
    for (let j = first[i]!; j < i; j++) {
      const other = rowStart[j]! - first[j]!;
      let sum = values[row + j]!;
      for (let k = Math.max(first[i]!, first[j]!); k < j; k++) sum -= values[row + k]! * values[other + k]!;
      values[row + j] = sum / values[other + j]!;
    }
    let pivot = values[row + i]!;
    const least = leastPivot * pivot;
    for (let k = first[i]!; k < i; k++) pivot -= values[row + k]! * values[row + k]!;
    if (!(pivot > least)) return null;
    values[row + i] = Math.sqrt(pivot);
  }
  return matrix;
}

/** Solves L·Lᵀ·x = right in place of `right`. */
export function solveFactored({ rowStart, first, values }: Envelope, right: Float64Array): void {
  const count = first.length;
  for (let i = 0; i < count; i++) {
    const row = rowStart[i]! - first[i]!;
    let sum = right[i]!;
    for (let k = first[i]!; k < i; k++) sum -= values[row + k]! * right[k]!;
    right[i] = sum / values[row + i]!;
  }
  for (let i = count - 1; i >= 0; i--) {
    const row = rowStart[i]! - first[i]!;
    const value = right[i]! / values[row + i]!;
    right[i] = value;
    for (let k = first[i]!; k < i; k++) right[k]! -= values[row + k]! * value;
  }
}
