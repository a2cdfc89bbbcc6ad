/**
 * Adds the volume, and volume × centroid (3), of the tetrahedron between the origin and the facet of
 * the corners at `a`, `b`, `c` of `p` to four sums from `at` on: over a closed surface they come to
 * those of what it encloses (divergence theorem).
 */
export function addTetrahedron(
  p: Float32Array | Float64Array,
  a: number,
  b: number,
  c: number,
  sums: number[] | Float64Array,
  at: number,
): void {
  const volume =
    (p[a]! * (p[b + 1]! * p[c + 2]! - p[b + 2]! * p[c + 1]!) +
      p[a + 1]! * (p[b + 2]! * p[c]! - p[b]! * p[c + 2]!) +
      p[a + 2]! * (p[b]! * p[c + 1]! - p[b + 1]! * p[c]!)) /
    6;
  sums[at]! += volume;
  for (let axis = 0; axis < 3; axis++)
    sums[at + 1 + axis]! += (volume * (p[a + axis]! + p[b + axis]! + p[c + axis]!)) / 4;
}
