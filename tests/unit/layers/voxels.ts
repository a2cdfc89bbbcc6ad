import type { Runs } from '../../../src/core/rays/runs.ts';
import { random } from '../../shapes.ts';

/* The brute-force twin: solids drawn on unit cells and walked cell by cell. */

export interface Voxels {
  readonly width: number;
  readonly rows: number;
  readonly layers: number;
  /** 1 = solid; cell (x, row, layer) at (layer·rows + row)·width + x. */
  readonly cells: Uint8Array;
}

export const cellAt = ({ width, rows }: Voxels, x: number, row: number, layer: number): number =>
  (layer * rows + row) * width + x;

/**
 * Blobs: balls and boxes added and taken away at random, with an empty border in x and rows; or
 * `hollowed`: a block that balls and boxes are mostly taken from.
 */
export function randomBlobs(seed: number, width = 22, rows = 20, layers = 18, hollowed = false): Voxels {
  const next = random(seed);
  const voxels: Voxels = { width, rows, layers, cells: new Uint8Array(width * rows * layers) };
  const strokes = 10 + Math.floor(next() * 14);
  for (let stroke = 0; stroke < strokes; stroke++) {
    const fill = (hollowed ? stroke < 1 || next() < 0.2 : stroke < 3 || next() < 0.5) ? 1 : 0;
    const centre = [next() * width, next() * rows, next() * layers];
    const size = 0.8 + next() * next() * 8;
    const reach = hollowed ? (stroke === 0 ? width : Math.min(size, 4.5)) : size;
    const round = next() < 0.5;
    for (let layer = 0; layer < layers; layer++) {
      for (let row = 1; row < rows - 1; row++) {
        for (let x = 1; x < width - 1; x++) {
          const d = [x + 0.5 - centre[0]!, row + 0.5 - centre[1]!, layer + 0.5 - centre[2]!];
          const distance = round ? Math.hypot(...d) : Math.max(...d.map(Math.abs));
          if (distance < reach) voxels.cells[cellAt(voxels, x, row, layer)] = fill;
        }
      }
    }
  }
  return voxels;
}

/** The same solid as runs on a lattice of unit rows and layers. */
export function voxelRuns({ width, rows, layers, cells }: Voxels): Runs {
  const offsets = [0];
  const ends: number[] = [];
  for (let row = 0; row < rows * layers; row++) {
    for (let x = 0; x < width; x++) {
      if (cells[row * width + x] === 0) continue;
      if (x === 0 || cells[row * width + x - 1] === 0) ends.push(x);
      if (x === width - 1 || cells[row * width + x + 1] === 0) ends.push(x + 1);
    }
    offsets.push(ends.length / 2);
  }
  return {
    lattice: { y0: 0, dy: 1, rows, z0: 0, dz: 1, layers },
    offsets: Uint32Array.from(offsets),
    ends: Float32Array.from(ends),
  };
}

/** Cells of one layer that are `wanted` (1 solid, 0 void), as face-connected pieces. */
export function piecesOfLayer(voxels: Voxels, layer: number, wanted: 0 | 1): number[][] {
  const { width, rows, cells } = voxels;
  const seen = new Set<number>();
  const pieces: number[][] = [];
  for (let row = 0; row < rows; row++) {
    for (let x = 0; x < width; x++) {
      const start = cellAt(voxels, x, row, layer);
      if (cells[start] !== wanted || seen.has(start)) continue;
      const piece = [start];
      seen.add(start);
      for (const cell of piece) {
        const cx = cell % width;
        const cy = Math.floor(cell / width) % rows;
        const near = [
          cx > 0 ? cell - 1 : -1,
          cx < width - 1 ? cell + 1 : -1,
          cy > 0 ? cell - width : -1,
          cy < rows - 1 ? cell + width : -1,
        ];
        for (const other of near) {
          if (other < 0 || cells[other] !== wanted || seen.has(other)) continue;
          seen.add(other);
          piece.push(other);
        }
      }
      pieces.push(piece);
    }
  }
  return pieces;
}

/** 1 per void cell that does not reach the border of its layer. */
export function enclosedCells(voxels: Voxels): Uint8Array {
  const { width, rows, layers } = voxels;
  const enclosed = new Uint8Array(voxels.cells.length);
  for (let layer = 0; layer < layers; layer++) {
    for (const piece of piecesOfLayer(voxels, layer, 0)) {
      const reaches = piece.some((cell) => {
        const x = cell % width;
        const row = Math.floor(cell / width) % rows;
        return x === 0 || x === width - 1 || row === 0 || row === rows - 1;
      });
      if (!reaches) for (const cell of piece) enclosed[cell] = 1;
    }
  }
  return enclosed;
}
