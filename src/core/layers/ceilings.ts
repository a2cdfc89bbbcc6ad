import { uninterrupted } from '../interrupter.ts';
import type { Runs } from '../rays/runs.ts';
import { findRoot, joinSets, singletons } from '../unionFind.ts';
import { type ComponentFigures, componentFigures } from './componentFigures.ts';
import { largestDisc } from './largestDisc.ts';
import { type LayerComponents, layerComponents } from './layerComponents.ts';
import type { CellMap } from './squaredDistances.ts';

/** Cells along the longer side of a ceiling's map; keeps a plate-wide roof within a few milliseconds. */
const MOST_CELLS = 512;

export interface CeilingLimits {
  readonly ceilingMm2: number;
  readonly ceilingSpanMm: number;
}

/** An overhanging piece of one layer above both limits. */
export interface CeilingCandidate {
  readonly layer: number;
  readonly areaMm2: number;
  readonly spanMm: number;
  /** Middle of its widest disc. */
  readonly row: number;
  readonly x: number;
  /** Its runs: row and two ends each, by row. */
  readonly runRow: Uint32Array;
  readonly runEnds: Float32Array;
}

/**
 * The overhanging pieces of a layer (`overhang` holds that one) whose area and span are both above
 * their limits. The span is the largest disc in the piece, measured on cells of one row spacing
 * (coarser where the piece is over 512 of them wide), so right to about a cell.
 */
export function ceilingsOfLayer(overhang: Runs, layer: number, limits: CeilingLimits): CeilingCandidate[] {
  const components = layerComponents(overhang, uninterrupted);
  const figures = componentFigures(overhang, components);
  const found: CeilingCandidate[] = [];
  for (let c = 0; c < figures.area.length; c++) {
    const areaMm2 = figures.area[c]!;
    if (areaMm2 <= limits.ceilingMm2 || spanBound(figures, overhang, c) <= limits.ceilingSpanMm) continue;
    const runs = runsOf(overhang, components, c);
    const disc = widestDisc(runs, overhang.lattice.dy);
    if (disc.spanMm > limits.ceilingSpanMm) found.push({ layer, areaMm2, ...disc, ...runs });
  }
  return found;
}

/** No disc in a region is wider than its rows or than the disc of its area. */
function spanBound({ area, rowSpan }: ComponentFigures, { lattice }: Runs, c: number): number {
  return Math.min((rowSpan[c]! + 1) * lattice.dy, 2 * Math.sqrt(area[c]! / Math.PI) + lattice.dy);
}

type PieceRuns = Pick<CeilingCandidate, 'runRow' | 'runEnds'>;

function runsOf({ lattice, offsets, ends }: Runs, { component }: LayerComponents, wanted: number): PieceRuns {
  const runRow: number[] = [];
  const runEnds: number[] = [];
  for (let row = 0; row < lattice.rows; row++) {
    for (let run = offsets[row]!; run < offsets[row + 1]!; run++) {
      if (component[run] !== wanted) continue;
      runRow.push(row);
      runEnds.push(ends[2 * run]!, ends[2 * run + 1]!);
    }
  }
  return { runRow: new Uint32Array(runRow), runEnds: new Float32Array(runEnds) };
}

function widestDisc({ runRow, runEnds }: PieceRuns, dy: number): { row: number; x: number; spanMm: number } {
  const firstRow = runRow[0]!;
  const lastRow = runRow[runRow.length - 1]!;
  let xLow = Number.POSITIVE_INFINITY;
  let xHigh = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < runEnds.length; i += 2) {
    xLow = Math.min(xLow, runEnds[i]!);
    xHigh = Math.max(xHigh, runEnds[i + 1]!);
  }
  const rowCount = lastRow - firstRow + 1;
  const rowsPerCell = Math.max(1, Math.ceil(Math.max(rowCount, (xHigh - xLow) / dy) / MOST_CELLS));
  const cell = rowsPerCell * dy;
  const width = Math.max(1, Math.ceil((xHigh - xLow) / cell));
  const height = Math.ceil(rowCount / rowsPerCell);
  const map: CellMap = { width, height, cells: new Uint8Array(width * height) };
  const rowOfLine = (line: number): number =>
    Math.min(lastRow, firstRow + line * rowsPerCell + (rowsPerCell >> 1));
  let run = 0;
  for (let line = 0; line < height; line++) {
    while (run < runRow.length && runRow[run]! < rowOfLine(line)) run++;
    for (; run < runRow.length && runRow[run] === rowOfLine(line); run++) {
      const from = Math.ceil((runEnds[2 * run]! - xLow) / cell - 0.5);
      const to = Math.ceil((runEnds[2 * run + 1]! - xLow) / cell - 0.5);
      map.cells.fill(1, line * width + Math.max(0, from), line * width + Math.min(width, to));
    }
  }
  const disc = largestDisc(map);
  return { row: rowOfLine(disc.row), x: xLow + (disc.column + 0.5) * cell, spanMm: disc.diameter * cell };
}

/**
 * Which candidates (ascending by layer) are told: those of consecutive layers that lie within the
 * self-supporting reach and a row of each other are one ceiling that spreads, told once, at the
 * layer of its widest span. Ascending indices.
 */
export function widestCeilings(candidates: readonly CeilingCandidate[], reach: number, dy: number): number[] {
  const group = singletons(candidates.length);
  for (let i = 0; i < candidates.length; i++) {
    for (let j = i - 1; j >= 0 && candidates[j]!.layer >= candidates[i]!.layer - 1; j--) {
      if (candidates[j]!.layer === candidates[i]!.layer) continue;
      if (areNeighbours(candidates[j]!, candidates[i]!, reach + dy, dy)) joinSets(group, i, j);
    }
  }
  const widest = new Map<number, number>();
  for (let i = 0; i < candidates.length; i++) {
    const root = findRoot(group, i);
    const known = widest.get(root);
    if (known === undefined || isWorse(candidates[i]!, candidates[known]!)) widest.set(root, i);
  }
  return [...widest.values()].sort((a, b) => a - b);
}

const isWorse = (a: CeilingCandidate, b: CeilingCandidate): boolean =>
  a.spanMm !== b.spanMm ? a.spanMm > b.spanMm : a.areaMm2 > b.areaMm2;

/** Whether two pieces lie within `margin` of each other along x and, in whole rows, along y. */
function areNeighbours(a: PieceRuns, b: PieceRuns, margin: number, dy: number): boolean {
  const rowReach = Math.ceil(margin / dy);
  let first = 0;
  for (let i = 0; i < b.runRow.length; i++) {
    const row = b.runRow[i]!;
    while (first < a.runRow.length && a.runRow[first]! < row - rowReach) first++;
    for (let j = first; j < a.runRow.length && a.runRow[j]! <= row + rowReach; j++) {
      if (
        a.runEnds[2 * j]! - margin <= b.runEnds[2 * i + 1]! &&
        a.runEnds[2 * j + 1]! + margin >= b.runEnds[2 * i]!
      ) {
        return true;
      }
    }
  }
  return false;
}
