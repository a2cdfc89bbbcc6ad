import type { PlacedOpening } from '../openings/opening.ts';
import type { RunsByLayer } from '../rays/runsByLayer.ts';
import { subtractRuns } from '../rays/subtractRuns.ts';
import { openingsAsRuns } from './cutSolid.ts';

/** The solid with its openings cut. Blocks of layers that no opening touches stay the ones they are. */
export function cutByLayer(solid: RunsByLayer, openings: readonly PlacedOpening[]): RunsByLayer {
  if (openings.length === 0) return solid;
  const { lattice } = solid;
  const blocks = solid.blocks.map((block) => {
    const { from, to, rows } = block;
    const own = { ...lattice, layers: to - from, z0: lattice.z0 + from * lattice.dz };
    const removed = openingsAsRuns(openings, own);
    if (removed.ends.length === 0) return block;
    const offsets = rows.offsets.subarray(rows.base, rows.base + own.rows * own.layers + 1);
    const cut = subtractRuns({ lattice: own, offsets, ends: rows.ends }, removed);
    return { from, to, rows: { offsets: cut.offsets, ends: cut.ends, base: 0 } };
  });
  return { lattice, blocks };
}
