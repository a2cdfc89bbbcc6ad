import type { PlacedOpening } from '../openings/opening.ts';
import type { Lattice } from '../rays/lattice.ts';
import type { LayerBlock, RunsByLayer } from '../rays/runsByLayer.ts';
import { subtractRuns } from '../rays/subtractRuns.ts';
import { openingsAsRuns } from './cutSolid.ts';
import { openingRuns } from './openingRuns.ts';

/** The layers of a solid that openings reach, with these cut out of it; for `withCutLayers`. */
export function cutByLayer(
  { lattice, blocks }: RunsByLayer,
  openings: readonly PlacedOpening[],
): LayerBlock[] {
  const reached = reachedLayers(openings, lattice);
  return blocks.flatMap((block) =>
    rangesOf(reached, block).map(([from, to]) => cutRange(block, from, to, openings, lattice)),
  );
}

function reachedLayers(openings: readonly PlacedOpening[], lattice: Lattice): Uint8Array {
  const reached = new Uint8Array(lattice.layers);
  for (const opening of openings) {
    const { firstLayer, layers } = openingRuns(opening, lattice);
    reached.fill(1, firstLayer, firstLayer + layers);
  }
  return reached;
}

function rangesOf(reached: Uint8Array, { from, to }: LayerBlock): (readonly [number, number])[] {
  const ranges: (readonly [number, number])[] = [];
  for (let layer = from; layer < to; layer++) {
    const first = layer;
    while (layer < to && reached[layer] === 1) layer++;
    if (layer > first) ranges.push([first, layer]);
  }
  return ranges;
}

function cutRange(
  block: LayerBlock,
  from: number,
  to: number,
  openings: readonly PlacedOpening[],
  lattice: Lattice,
): LayerBlock {
  const own = { ...lattice, layers: to - from, z0: lattice.z0 + from * lattice.dz };
  const base = block.rows.base + (from - block.from) * own.rows;
  const offsets = block.rows.offsets.subarray(base, base + own.rows * own.layers + 1);
  const cut = subtractRuns({ lattice: own, offsets, ends: block.rows.ends }, openingsAsRuns(openings, own));
  return { from, to, rows: { offsets: cut.offsets, ends: cut.ends, base: 0 } };
}
