import { type Footprint, isUnder } from './footprint.ts';
import { type Place, turnBy } from './place.ts';

/** A footprint's border on the plate: the middles of its outermost cells, x and y in turn, by x; mm from the plate's middle. */
export interface Border {
  readonly points: Float64Array;
  readonly min: readonly [number, number];
  readonly max: readonly [number, number];
  /** Half a cell, about: the border runs that far outside of the points. */
  readonly halfCell: number;
  readonly footprint: Footprint;
  readonly place: Place;
}

export function borderPoints(footprint: Footprint, place: Place): Border {
  const { minX, minY, cellX, cellY } = footprint;
  const [cos, sin] = turnBy(place.spin);
  const points: (readonly [number, number])[] = [];
  for (const [column, row] of outermostCells(footprint)) {
    const x = minX + (column + 0.5) * cellX;
    const y = minY + (row + 0.5) * cellY;
    points.push([place.at[0] + cos * x - sin * y, place.at[1] + sin * x + cos * y]);
  }
  points.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const halfX = (Math.abs(cos) * cellX + Math.abs(sin) * cellY) / 2;
  const halfY = (Math.abs(sin) * cellX + Math.abs(cos) * cellY) / 2;
  const [low, high] = extent(points.map(([, y]) => y));
  return {
    points: Float64Array.from(points.flat()),
    min: [(points[0]?.[0] ?? place.at[0]) - halfX, low - halfY],
    max: [(points.at(-1)?.[0] ?? place.at[0]) + halfX, high + halfY],
    halfCell: Math.max(cellX, cellY) / 2,
    footprint,
    place,
  };
}

function extent(values: readonly number[]): readonly [number, number] {
  return values.reduce(([low, high], value) => [Math.min(low, value), Math.max(high, value)], [
    Infinity,
    -Infinity,
  ] as readonly [number, number]);
}

/** Cells with a free neighbour at one of their sides. */
function* outermostCells(footprint: Footprint): Generator<readonly [column: number, row: number]> {
  const { rows, start, ends } = footprint;
  for (let row = 0; row < rows; row++) {
    for (let run = start[row]!; run < start[row + 1]!; run++) {
      const [from, to] = [ends[2 * run]!, ends[2 * run + 1]!];
      for (let column = from; column < to; column++) {
        const atEnd = column === from || column === to - 1;
        if (atEnd || !isMarked(footprint, column, row - 1) || !isMarked(footprint, column, row + 1)) {
          yield [column, row];
        }
      }
    }
  }
}

function isMarked({ rows, start, ends }: Footprint, column: number, row: number): boolean {
  if (row < 0 || row >= rows) return false;
  for (let run = start[row]!; run < start[row + 1]!; run++) {
    if (column < ends[2 * run]!) return false;
    if (column < ends[2 * run + 1]!) return true;
  }
  return false;
}

/** Whether a point of the plate lies under the part. */
export function isCovered({ footprint, place }: Border, x: number, y: number): boolean {
  const [cos, sin] = turnBy(place.spin);
  const [dx, dy] = [x - place.at[0], y - place.at[1]];
  return isUnder(footprint, cos * dx + sin * dy, cos * dy - sin * dx);
}
