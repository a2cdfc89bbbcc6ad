import { type Interrupter, portion } from '../interrupter.ts';
import { type RunsByLayer, rowsOfLayer } from '../rays/runsByLayer.ts';
import type { FreeColumns } from './freeSpace.ts';

/** Edge of a column, and height of a step, mm: a strut passes between them with the clearance it was given. */
const FINEST_MM = 0.5;
/** Words of 32 steps at most, 128 MiB; a part that outgrows every machine is looked at more coarsely. */
const MOST_WORDS = 2 ** 25;
const COARSENING = 1.26;

/** How a space is to be widened. */
export interface Widening {
  /** Across the plate, mm; a cell more at most. Nothing is widened in height. */
  readonly clearanceMm: number;
  /** Only what lies lower is asked for, mm; all of it when absent. */
  readonly upToMm?: number;
}

/** Columns of a part, widened in one way after the other; `freeSpace` reads them. */
export function fillColumns(
  solid: RunsByLayer,
  xLow: number,
  xHigh: number,
  widenings: readonly Widening[],
  interrupter: Interrupter,
): FreeColumns[] {
  const { rows, dy, layers, dz } = solid.lattice;
  const size = [xHigh - xLow, rows * dy, layers * dz] as const;
  // Every column has a row of the lattice, every step a layer.
  let cell = Math.max(FINEST_MM, dy, dz);
  const words = (): number => (size[0] / cell) * (size[1] / cell) * Math.ceil(size[2] / cell / 32);
  while (words() > MOST_WORDS) cell *= COARSENING;
  const widest = widenings.reduce((most, { clearanceMm }) => Math.max(most, clearanceMm), 0);
  const border = Math.ceil(widest / cell) + 2;
  const grid = fill(solid, xLow, xHigh, cell, border, portion(interrupter, 0, 0.5));
  return widenings.map(({ clearanceMm, upToMm = Number.POSITIVE_INFINITY }, n) => {
    const from = 0.5 + (0.5 * n) / widenings.length;
    const widening = portion(interrupter, from, from + 0.5 / widenings.length);
    return widen(lowest(grid, upToMm), clearanceMm / cell, widening);
  });
}

/** Every cell and step that any run passes. */
function fill(
  solid: RunsByLayer,
  xLow: number,
  xHigh: number,
  cell: number,
  border: number,
  interrupter: Interrupter,
): FreeColumns {
  const { lattice } = solid;
  const x0 = xLow - border * cell;
  const y0 = lattice.y0 - border * cell;
  const nx = Math.ceil((xHigh - xLow) / cell) + 2 * border;
  const ny = Math.ceil((lattice.rows * lattice.dy) / cell) + 2 * border;
  const steps = Math.ceil((lattice.layers * lattice.dz) / cell);
  const words = Math.ceil(steps / 32);
  const bits = new Uint32Array(nx * ny * words);
  for (let layer = 0; layer < lattice.layers; layer++) {
    if (layer % 64 === 0) interrupter(layer / lattice.layers);
    const step = Math.min(steps - 1, Math.floor(((layer + 0.5) * lattice.dz) / cell));
    const [word, bit] = [step >> 5, 1 << (step & 31)];
    const { offsets, ends, base } = rowsOfLayer(solid, layer);
    for (let row = 0; row < lattice.rows; row++) {
      const j = Math.floor((lattice.y0 + (row + 0.5) * lattice.dy - y0) / cell);
      for (let run = offsets[base + row]!; run < offsets[base + row + 1]!; run++) {
        const to = Math.floor((ends[2 * run + 1]! - x0) / cell);
        for (let i = Math.floor((ends[2 * run]! - x0) / cell); i <= to; i++) {
          bits[(j * nx + i) * words + word]! |= bit;
        }
      }
    }
  }
  return { cell, nx, ny, steps, words, x0, y0, z0: lattice.z0, bits };
}

/** The columns as far as a height, in whole words. */
function lowest(grid: FreeColumns, upToMm: number): FreeColumns {
  const { nx, ny, cell } = grid;
  const words = Math.min(grid.words, Math.floor(upToMm / cell / 32) + 1);
  if (words === grid.words) return grid;
  const bits = new Uint32Array(nx * ny * words);
  for (let column = 0; column < nx * ny; column++) {
    for (let word = 0; word < words; word++) {
      bits[column * words + word] = grid.bits[column * grid.words + word]!;
    }
  }
  return { ...grid, words, steps: 32 * words, bits };
}

/** Each column with all that of the columns as near as a radius, in cells. */
function widen(grid: FreeColumns, radius: number, interrupter: Interrupter): FreeColumns {
  const { nx, ny, words, bits } = grid;
  if (radius === 0) return grid;
  const out = bits.slice();
  const reach = Math.ceil(radius) + 1;
  for (let dj = -reach; dj <= reach; dj++) {
    interrupter((dj + reach) / (2 * reach));
    for (let di = -reach; di <= reach; di++) {
      // From the nearest corner of one cell to that of the other.
      const apart = Math.hypot(Math.max(0, Math.abs(di) - 1), Math.max(0, Math.abs(dj) - 1));
      if (apart >= radius || (di === 0 && dj === 0)) continue;
      for (let j = Math.max(0, -dj); j < Math.min(ny, ny - dj); j++) {
        const [iFrom, iTo] = [Math.max(0, -di), Math.min(nx, nx - di)];
        const from = ((j + dj) * nx + iFrom + di) * words;
        const to = (j * nx + iFrom) * words;
        for (let at = 0; at < (iTo - iFrom) * words; at++) out[to + at]! |= bits[from + at]!;
      }
    }
  }
  return { ...grid, bits: out };
}
