import { norm, subtract } from '../vector.ts';
import { shareLeft } from './shareLeft.ts';
import type { Bar } from './supportBodies.ts';

/**
 * mm³ of bars in each layer from the plate up, as `barsVolume` counts them: what bars share for each, and a leaning one
 * by the heights of its middle line. What is below the plate or above the last layer is left out.
 */
export function barsByLayer(bars: readonly Bar[], layers: number, layerHeight: number): Float64Array {
  const volumes = new Float64Array(layers);
  for (const bar of bars) {
    const [low, high] = [Math.min(bar.from[2], bar.to[2]), Math.max(bar.from[2], bar.to[2])];
    if (high === low) continue;
    const upTo = volumeUpTo(bar);
    const last = Math.min(layers, Math.ceil(high / layerHeight));
    let below = upTo(Math.max(0, low));
    for (let layer = Math.max(0, Math.floor(low / layerHeight)); layer < last; layer++) {
      const now = upTo(Math.min(high, (layer + 1) * layerHeight));
      volumes[layer]! += now - below;
      below = now;
    }
  }
  return volumes;
}

/** The volume of a bar below a height, mm³. */
function volumeUpTo({ from, to, fromRadius, toRadius, trims = [] }: Bar): (z: number) => number {
  const [foot, head] = from[2] < to[2] ? [from, to] : [to, from];
  const [low, high] = from[2] < to[2] ? [fromRadius, toRadius] : [toRadius, fromRadius];
  const length = norm(subtract(to, from));
  const left = shareLeft(to[0], to[1], (fromRadius + toRadius) / 2, trims);
  return (z) => {
    const share = (z - foot[2]) / (head[2] - foot[2]);
    const radius = low + share * (high - low);
    return (Math.PI / 3) * length * share * (low * low + low * radius + radius * radius) * left;
  };
}
