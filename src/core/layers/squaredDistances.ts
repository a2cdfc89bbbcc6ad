/** A region drawn as cells, row by row: 1 = in the region. */
export interface CellMap {
  readonly width: number;
  readonly height: number;
  readonly cells: Uint8Array;
}

/**
 * Of every cell of a region the squared distance of its middle from that of the nearest cell outside, in
 * cells; 0 outside. Exact: the Euclidean distance transform of Felzenszwalb & Huttenlocher, "Distance
 * Transforms of Sampled Functions", Theory of Computing 8 (2012). What lies beyond the map is outside.
 */
export function squaredDistances({ width, height, cells }: CellMap): Float64Array {
  const squared = new Float64Array(width * height);
  columnDistances(width, height, cells, squared);
  const profile = new Float64Array(width + 2);
  const transformed = new Float64Array(width + 2);
  const vertices = new Int32Array(width + 2);
  const bounds = new Float64Array(width + 3);
  for (let row = 0; row < height; row++) {
    const own = squared.subarray(row * width, (row + 1) * width);
    profile.set(own, 1);
    lowerEnvelope(profile, transformed, vertices, bounds);
    own.set(transformed.subarray(1, width + 1));
  }
  return squared;
}

/** Squared distance to the nearest outside cell in the same column, borders outside. */
function columnDistances(width: number, height: number, cells: Uint8Array, squared: Float64Array): void {
  for (let column = 0; column < width; column++) {
    let distance = 0;
    for (let row = 0; row < height; row++) {
      distance = cells[row * width + column] === 1 ? distance + 1 : 0;
      squared[row * width + column] = distance;
    }
    distance = 0;
    for (let row = height - 1; row >= 0; row--) {
      distance = cells[row * width + column] === 1 ? distance + 1 : 0;
      const nearest = Math.min(distance, squared[row * width + column]!);
      squared[row * width + column] = nearest * nearest;
    }
  }
}

/** One-dimensional transform: for each i the least over j of (i − j)² + profile[j]. */
function lowerEnvelope(
  profile: Float64Array,
  result: Float64Array,
  vertices: Int32Array,
  bounds: Float64Array,
): void {
  const count = profile.length;
  let last = 0;
  vertices[0] = 0;
  bounds[0] = Number.NEGATIVE_INFINITY;
  bounds[1] = Number.POSITIVE_INFINITY;
  for (let i = 1; i < count; i++) {
    let crossing = parabolaCrossing(profile, i, vertices[last]!);
    while (crossing <= bounds[last]!) crossing = parabolaCrossing(profile, i, vertices[--last]!);
    vertices[++last] = i;
    bounds[last] = crossing;
    bounds[last + 1] = Number.POSITIVE_INFINITY;
  }
  let at = 0;
  for (let i = 0; i < count; i++) {
    while (bounds[at + 1]! < i) at++;
    const offset = i - vertices[at]!;
    result[i] = offset * offset + profile[vertices[at]!]!;
  }
}

function parabolaCrossing(profile: Float64Array, i: number, j: number): number {
  return (profile[i]! + i * i - profile[j]! - j * j) / (2 * (i - j));
}
