import type { Runs } from './runs.ts';

/** Area of a region in each layer, mm²: Σ run lengths · dy. */
export function layerAreas({ lattice, offsets, ends }: Runs): Float64Array {
  const { rows, layers, dy } = lattice;
  const areas = new Float64Array(layers);
  for (let layer = 0; layer < layers; layer++) {
    const last = 2 * offsets[(layer + 1) * rows]!;
    let length = 0;
    for (let i = 2 * offsets[layer * rows]!; i < last; i += 2) length += ends[i + 1]! - ends[i]!;
    areas[layer] = length * dy;
  }
  return areas;
}
