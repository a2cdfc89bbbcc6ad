import type { Footprint } from './footprint.ts';
import { type FootprintRaster, markTriangle } from './footprintRaster.ts';
import { isQuarterTurn, type Point, turnBy } from './place.ts';

/** A footprint as spun, in square cells whose lines run through an anchor: every cell that it touches. */
export interface PlateCells extends Pick<FootprintRaster, 'columns' | 'rows' | 'cells'> {
  /** Of the first column and row, counted from the anchor. */
  readonly column: number;
  readonly row: number;
}

/** In parts of a cell: what reaches over a line by less does not count. */
const TOUCH = 1e-3;

/** Bounds of a footprint spun about its own frame's origin. */
export function spunBounds(footprint: Footprint, spin: number): { readonly min: Point; readonly max: Point } {
  const [cos, sin] = turnBy(spin);
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  eachRun(footprint, (x, y, halfX, halfY) => {
    const [midX, midY] = [cos * x - sin * y, sin * x + cos * y];
    const [acrossX, acrossY] = [
      Math.abs(cos) * halfX + Math.abs(sin) * halfY,
      Math.abs(sin) * halfX + Math.abs(cos) * halfY,
    ];
    minX = Math.min(minX, midX - acrossX);
    maxX = Math.max(maxX, midX + acrossX);
    minY = Math.min(minY, midY - acrossY);
    maxY = Math.max(maxY, midY + acrossY);
  });
  return { min: [minX, minY], max: [maxX, maxY] };
}

/** `anchor`: a point of the part's own frame as spun. */
export function plateCells(footprint: Footprint, spin: number, anchor: Point, cellMm: number): PlateCells {
  const { min, max } = spunBounds(footprint, spin);
  const [column, row] = [0, 1].map((axis) => Math.floor((min[axis]! - anchor[axis]!) / cellMm + TOUCH)) as [
    number,
    number,
  ];
  const [endColumn, endRow] = [0, 1].map((axis) =>
    Math.ceil((max[axis]! - anchor[axis]!) / cellMm - TOUCH),
  ) as [number, number];
  const columns = endColumn - column;
  const rows = endRow - row;
  const raster: FootprintRaster = {
    minX: anchor[0] + column * cellMm,
    minY: anchor[1] + row * cellMm,
    cellX: cellMm,
    cellY: cellMm,
    columns,
    rows,
    cells: new Uint8Array(columns * rows),
  };
  const mark = isQuarterTurn(spin) ? markUpright : markSlanted;
  const turn = turnBy(spin);
  eachRun(footprint, (x, y, halfX, halfY) => mark(raster, turn, x, y, halfX, halfY));
  return { column, row, columns, rows, cells: raster.cells };
}

type Turn = ReturnType<typeof turnBy>;

/** A run in a quarter turn: a rectangle along the cells. */
function markUpright(
  { minX, minY, cellX, columns, rows, cells }: FootprintRaster,
  [cos, sin]: Turn,
  x: number,
  y: number,
  halfX: number,
  halfY: number,
): void {
  const [midX, midY] = [cos * x - sin * y - minX, sin * x + cos * y - minY];
  const acrossX = Math.abs(cos) * halfX + Math.abs(sin) * halfY;
  const acrossY = Math.abs(sin) * halfX + Math.abs(cos) * halfY;
  const from = Math.floor((midX - acrossX) / cellX + TOUCH);
  const to = Math.min(columns, Math.ceil((midX + acrossX) / cellX - TOUCH));
  const top = Math.min(rows, Math.ceil((midY + acrossY) / cellX - TOUCH));
  for (let row = Math.floor((midY - acrossY) / cellX + TOUCH); row < top; row++) {
    cells.fill(1, row * columns + from, row * columns + to);
  }
}

function markSlanted(
  raster: FootprintRaster,
  [cos, sin]: Turn,
  x: number,
  y: number,
  halfX: number,
  halfY: number,
): void {
  const corner = (alongX: number, alongY: number): Point => [
    cos * (x + alongX) - sin * (y + alongY),
    sin * (x + alongX) + cos * (y + alongY),
  ];
  const [a, b] = [corner(-halfX, -halfY), corner(halfX, -halfY)];
  const [c, d] = [corner(halfX, halfY), corner(-halfX, halfY)];
  markTriangle(raster, ...a, ...b, ...c);
  markTriangle(raster, ...a, ...c, ...d);
}

/** The footprint run by run, by middle and half widths in its own frame. */
function eachRun(
  { minX, minY, cellX, cellY, rows, start, ends }: Footprint,
  tell: (x: number, y: number, halfX: number, halfY: number) => void,
): void {
  for (let row = 0; row < rows; row++) {
    for (let run = start[row]!; run < start[row + 1]!; run++) {
      const [from, to] = [ends[2 * run]!, ends[2 * run + 1]!];
      tell(
        minX + ((from + to) / 2) * cellX,
        minY + (row + 0.5) * cellY,
        ((to - from) / 2) * cellX,
        cellY / 2,
      );
    }
  }
}
