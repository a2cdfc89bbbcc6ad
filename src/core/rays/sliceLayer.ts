import { layerZ } from './lattice.ts';
import type { Runs } from './runs.ts';

/** One layer of a region as a region of its own; `ends` is shared, not copied. */
export function sliceLayer({ lattice, offsets, ends }: Runs, layer: number): Runs {
  const { rows, dz } = lattice;
  const first = offsets[layer * rows]!;
  const last = offsets[(layer + 1) * rows]!;
  return {
    lattice: { ...lattice, layers: 1, z0: layerZ(lattice, layer) - dz / 2 },
    offsets: offsets.slice(layer * rows, (layer + 1) * rows + 1).map((offset) => offset - first),
    ends: ends.subarray(2 * first, 2 * last),
  };
}
