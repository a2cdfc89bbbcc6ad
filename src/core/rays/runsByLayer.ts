import type { Lattice } from './lattice.ts';
import type { Runs } from './runs.ts';

/** Rows of runs of one layer: row r of it is row `base + r` of `offsets` (see `Runs`). */
export interface LayerRows {
  readonly offsets: Uint32Array;
  readonly ends: Float32Array;
  readonly base: number;
}

/** A region in blocks of layers, in order and without a gap, as several threads made them. */
export interface RunsByLayer {
  readonly lattice: Lattice;
  readonly blocks: readonly LayerBlock[];
}

/** The layers from … to − 1; `rows` are those of layer `from`, the next layers' follow on them. */
export interface LayerBlock {
  readonly from: number;
  readonly to: number;
  readonly rows: LayerRows;
}

/** The rows of one layer of a region. */
export function rowsOfLayer(region: Runs | RunsByLayer, layer: number): LayerRows {
  const { rows } = region.lattice;
  if (!('blocks' in region)) return { offsets: region.offsets, ends: region.ends, base: layer * rows };
  const block = region.blocks.find(({ from, to }) => from <= layer && layer < to);
  if (!block) throw new Error(`no rows of layer ${layer}`);
  return { ...block.rows, base: block.rows.base + (layer - block.from) * rows };
}
