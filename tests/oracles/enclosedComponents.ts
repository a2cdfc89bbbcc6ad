import type { LayerComponents } from '../../src/core/layers/layerComponents.ts';
import type { VoidRuns } from '../../src/core/rays/voidRuns.ts';

/** Per component of a void: 1 where it does not reach the rectangle's border within its layer. */
export function enclosedComponents(
  { lattice, offsets, ends, xLow, xHigh }: VoidRuns,
  { start, component }: LayerComponents,
): Uint8Array {
  const enclosed = new Uint8Array(start[start.length - 1]!).fill(1);
  const { rows, layers } = lattice;
  for (let row = 0; row < rows * layers; row++) {
    const inLayer = row % rows;
    const onBorder = inLayer === 0 || inLayer === rows - 1;
    const last = offsets[row + 1]!;
    for (let run = offsets[row]!; run < last; run++) {
      if (onBorder || ends[2 * run] === xLow || ends[2 * run + 1] === xHigh) enclosed[component[run]!] = 0;
    }
  }
  return enclosed;
}
