import type { PlacedOpening } from '../openings/opening.ts';
import { type Lattice, layerZ, rowY } from '../rays/lattice.ts';

/**
 * What an opening's cylinder covers of each row: one interval at most, since it is convex. Row
 * `firstRow + j` of layer `firstLayer + i` is entry i·rows + j: x ∈ [low, high], empty where
 * high ≤ low. The block is the cylinder's bounding box cut to the lattice.
 */
export interface OpeningRuns {
  readonly firstLayer: number;
  readonly layers: number;
  readonly firstRow: number;
  readonly rows: number;
  readonly low: Float64Array;
  readonly high: Float64Array;
}

/** Extra reach beyond `outward`, mm, along the axis. */
export function openingRuns(opening: PlacedOpening, lattice: Lattice, extraOutward = 0): OpeningRuns {
  const { mouth, axis, radius, depth } = opening;
  const out = opening.outward + extraOutward;
  const [layerFrom, layerTo] = samplesWithin(
    mouth[2],
    axis[2],
    radius,
    out,
    depth,
    lattice.z0,
    lattice.dz,
    lattice.layers,
  );
  const [rowFrom, rowTo] = samplesWithin(
    mouth[1],
    axis[1],
    radius,
    out,
    depth,
    lattice.y0,
    lattice.dy,
    lattice.rows,
  );
  const layers = layerTo - layerFrom;
  const rows = rowTo - rowFrom;
  const low = new Float64Array(layers * rows);
  const high = new Float64Array(layers * rows);
  for (let i = 0; i < layers; i++) {
    const w = layerZ(lattice, layerFrom + i) - mouth[2];
    for (let j = 0; j < rows; j++) {
      const v = rowY(lattice, rowFrom + j) - mouth[1];
      intersectRow(opening, out, v, w, low, high, i * rows + j);
    }
  }
  return { firstLayer: layerFrom, layers, firstRow: rowFrom, rows, low, high };
}

/** Samples of one axis within the cylinder's extent on it, as a half-open index range cut to the lattice. */
function samplesWithin(
  mouth: number,
  axis: number,
  radius: number,
  out: number,
  depth: number,
  start: number,
  step: number,
  count: number,
): [number, number] {
  const rim = radius * Math.sqrt(Math.max(0, 1 - axis * axis));
  const ends = [mouth - out * axis, mouth + depth * axis];
  const from = Math.ceil((Math.min(...ends) - rim - start) / step - 0.5);
  const to = Math.floor((Math.max(...ends) + rim - start) / step - 0.5) + 1;
  const first = Math.min(count, Math.max(0, from));
  return [first, Math.max(first, Math.min(count, to))];
}

/**
 * A ray along x at (v, w) from the mouth: with t = u·ax + c along the axis, the infinite cylinder is
 * (1 − ax²)u² − 2·ax·c·u + (v² + w² − c²) ≤ r², and the ends are −out ≤ t ≤ depth.
 */
function intersectRow(
  { mouth, axis, radius, depth }: PlacedOpening,
  out: number,
  v: number,
  w: number,
  low: Float64Array,
  high: Float64Array,
  entry: number,
): void {
  const [ax, ay, az] = axis;
  const c = v * ay + w * az;
  const square = ay * ay + az * az;
  const rest = v * v + w * w - c * c - radius * radius;
  let from = Number.NEGATIVE_INFINITY;
  let to = Number.POSITIVE_INFINITY;
  if (square > 1e-12) {
    const discriminant = ax * c * (ax * c) - square * rest;
    if (discriminant <= 0) return;
    const root = Math.sqrt(discriminant);
    from = (ax * c - root) / square;
    to = (ax * c + root) / square;
  } else if (rest >= 0) return;
  if (Math.abs(ax) > 1e-12) {
    const atMouth = (-out - c) / ax;
    const atEnd = (depth - c) / ax;
    from = Math.max(from, Math.min(atMouth, atEnd));
    to = Math.min(to, Math.max(atMouth, atEnd));
  } else if (c < -out || c > depth) return;
  if (!(to > from)) return;
  low[entry] = mouth[0] + from;
  high[entry] = mouth[0] + to;
}
