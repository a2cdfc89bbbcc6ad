import type { Machine } from '../core/kit/manifest.ts';
import type { LayerOptions } from '../core/layers/layerOptions.ts';
import type { Lattice } from '../core/rays/lattice.ts';
import { latticeFor } from '../core/rays/latticeFor.ts';
import type { Box } from '../core/vector.ts';
import type { PartRequest } from './partRequest.ts';

/** Spacing of the rows of the ray grid, mm. */
const rowMm = 0.1;
/** Beyond this many rows they are spread; a full plate of the largest machines takes fewer. */
const mostRows = 24e6;
/** A part that outgrows the machine twice over is told so; its layers are only sketched. */
const mostRowsOversize = 1e6;

/** The rows in which a part with these bounds is looked at. All that a machine changes of its layers. */
export function printLattice(bounds: Box, { layer, plate, height }: Machine): Lattice {
  const lattice = latticeFor(bounds, rowMm, layer);
  const oversize = [...plate, height].some((room, axis) => bounds.max[axis]! - bounds.min[axis]! > 2 * room);
  const excess = (lattice.rows * lattice.layers) / (oversize ? mostRowsOversize : mostRows);
  if (excess <= 1) return lattice;
  const rows = Math.max(3, Math.ceil(lattice.rows / excess));
  return { ...lattice, rows, dy: (lattice.rows * lattice.dy) / rows };
}

export function layerOptions({ limits }: PartRequest): LayerOptions {
  return {
    selfSupportDeg: limits.selfSupport,
    ceilingMm2: limits.ceiling,
    ceilingSpanMm: limits.ceilingSpan,
  };
}
