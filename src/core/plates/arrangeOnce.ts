import { type Interrupter, portion } from '../interrupter.ts';
import { type BitRows, bitRows, bitsMeet, setBits } from './bitRows.ts';
import { footprintArea } from './footprint.ts';
import type { PlatedFootprint, PlateTask } from './layOutPlate.ts';
import type { Place, Point } from './place.ts';
import { type PlateCells, plateCells, spunBounds } from './plateCells.ts';

/** A way of arranging parts. */
export interface Way {
  /** Degrees that are tried, the one that is preferred first. */
  readonly spins: readonly number[];
  /** Which comes first: the one that covers most, or the longest. */
  readonly order: 'area' | 'length';
  /** The plate is filled row by row along y (or column by column along x). */
  readonly along: 'x' | 'y';
}

/** Width of a cell, mm; more on a plate with more than so many. */
const CELL_MM = 0.25;
const MOST_CELLS = 400_000;

/** As `outside-plate` allows. */
const EDGE_MM = 1e-3;

/**
 * Puts each part that has no place where it ends lowest on what is free of the plate, one after the other,
 * in steps of a cell. Two cells of different parts are the gap apart at their nearest corners or more, so that
 * what is found keeps the gap for certain; a place that fits by less than a cell for each part may be missed.
 * Where nobody has placed anything, all of them are moved together into the plate's middle.
 */
export function arrangeOnce(
  task: PlateTask,
  fixed: readonly (Place | null)[],
  way: Way,
  interrupter: Interrupter,
): (Place | null)[] {
  const [width, depth] = task.room;
  const cellMm = Math.max(CELL_MM, Math.sqrt((width * depth) / MOST_CELLS));
  const taken = bitRows(Math.ceil(width / cellMm) + 1, Math.ceil(depth / cellMm) + 1);
  const halo = haloOf(task.gapMm, cellMm);
  const corner: Point = [-width / 2, -depth / 2];
  const places = [...fixed];
  for (const [part, place] of fixed.entries()) {
    if (place === null) continue;
    const anchor: Point = [corner[0] - place.at[0], corner[1] - place.at[1]];
    const cells = plateCells(task.parts[part]!.footprint, place.spin, anchor, cellMm);
    take(taken, cells, cells.column, cells.row, halo);
  }
  const order = inOrder(task.parts, way);
  for (const [n, part] of order.entries()) {
    if (places[part] !== null) continue;
    const here = portion(interrupter, n / order.length, (n + 1) / order.length);
    const spot = lowestSpot(task, task.parts[part]!, way, taken, cellMm, here);
    if (spot === null) continue;
    take(taken, spot.cells, spot.column, spot.row, halo);
    const { min } = spot;
    const at: Point = [corner[0] + spot.column * cellMm - min[0], corner[1] + spot.row * cellMm - min[1]];
    places[part] = { at, spin: spot.spin };
  }
  return fixed.every((place) => place === null) ? centred(task, places) : places;
}

/** Half widths, by row up and down from a cell, of what lies nearer to it than the gap. */
function haloOf(gapMm: number, cellMm: number): number[] {
  const halves: number[] = [];
  for (let row = 0; ; row++) {
    const across = Math.max(0, row - 1) * cellMm;
    if (row > 0 && across >= gapMm - EDGE_MM) return halves;
    const along = Math.sqrt(Math.max(0, gapMm * gapMm - across * across));
    halves.push(Math.max(0, Math.ceil((along - EDGE_MM) / cellMm)));
  }
}

function take(
  taken: BitRows,
  { columns, rows, cells }: PlateCells,
  column: number,
  row: number,
  halo: readonly number[],
): void {
  for (let r = 0; r < rows; r++) {
    for (let from = 0; from < columns; from++) {
      if (cells[r * columns + from] === 0) continue;
      let to = from + 1;
      while (to < columns && cells[r * columns + to] === 1) to++;
      for (const [away, half] of halo.entries()) {
        setBits(taken, row + r + away, column + from - half, column + to + half);
        if (away > 0) setBits(taken, row + r - away, column + from - half, column + to + half);
      }
      from = to;
    }
  }
}

function inOrder(parts: readonly PlatedFootprint[], { order }: Way): number[] {
  const size = parts.map(({ footprint }) => {
    const { columns, rows, cellX, cellY } = footprint;
    return order === 'area' ? footprintArea(footprint) : Math.max(columns * cellX, rows * cellY);
  });
  return parts.map((_, part) => part).sort((a, b) => size[b]! - size[a]! || a - b);
}

interface Spot {
  readonly spin: number;
  /** Bounds of the part as spun, about its own middle. */
  readonly min: Point;
  readonly cells: PlateCells;
  readonly column: number;
  readonly row: number;
  /** Where it ends along the way, in cells, and where it starts across. */
  readonly end: number;
  readonly across: number;
}

function lowestSpot(
  { room }: PlateTask,
  { footprint, spin: asked }: PlatedFootprint,
  { spins, along }: Way,
  taken: BitRows,
  cellMm: number,
  interrupter: Interrupter,
): Spot | null {
  let best: Spot | null = null;
  const tried = asked === null ? spins : [asked];
  for (const [n, spin] of tried.entries()) {
    interrupter(n / tried.length);
    const { min, max } = spunBounds(footprint, spin);
    const size: Point = [max[0] - min[0], max[1] - min[1]];
    if (size.some((extent, axis) => extent > room[axis]! + EDGE_MM)) continue;
    const cells = plateCells(footprint, spin, min, cellMm);
    const mask = maskOf(cells);
    const last = size.map((extent, axis) => Math.floor((room[axis]! + EDGE_MM - extent) / cellMm));
    const [reach, breadth, long] =
      along === 'y' ? [last[1]!, last[0]!, cells.rows] : [last[0]!, last[1]!, cells.columns];
    const spot = firstFree(taken, mask, along, Math.min(reach, (best?.end ?? Infinity) - long), breadth);
    if (spot === null) continue;
    const end = spot.step + long;
    if (best !== null && (end > best.end || (end === best.end && spot.across >= best.across))) continue;
    const [column, row] = along === 'y' ? [spot.across, spot.step] : [spot.step, spot.across];
    best = { spin, min, cells, column, row, end, across: spot.across };
  }
  return best;
}

function firstFree(
  taken: BitRows,
  mask: BitRows,
  along: 'x' | 'y',
  reach: number,
  breadth: number,
): { readonly step: number; readonly across: number } | null {
  for (let step = 0; step <= reach; step++) {
    for (let across = 0; across <= breadth; across++) {
      const meets = along === 'y' ? bitsMeet(taken, mask, across, step) : bitsMeet(taken, mask, step, across);
      if (!meets) return { step, across };
    }
  }
  return null;
}

function maskOf({ columns, rows, cells }: PlateCells): BitRows {
  const mask = bitRows(columns, rows);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      if (cells[row * columns + column] === 1) setBits(mask, row, column, column + 1);
    }
  }
  return mask;
}

function centred({ parts }: PlateTask, places: readonly (Place | null)[]): (Place | null)[] {
  const boxes = places.flatMap((place, part) => {
    if (place === null) return [];
    const { min, max } = spunBounds(parts[part]!.footprint, place.spin);
    return [{ min: plus(place.at, min), max: plus(place.at, max) }];
  });
  const middle = ([0, 1] as const).map((axis) => {
    const low = Math.min(...boxes.map(({ min }) => min[axis]));
    const high = Math.max(...boxes.map(({ max }) => max[axis]));
    return (low + high) / 2;
  });
  return places.map(
    (place) => place && { ...place, at: [place.at[0] - middle[0]!, place.at[1] - middle[1]!] },
  );
}

const plus = (a: Point, b: Point): Point => [a[0] + b[0], a[1] + b[1]];
