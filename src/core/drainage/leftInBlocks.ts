import type { Vec3 } from '../vector.ts';
import type { ChamberBlocks } from './chamberBlocks.ts';
import type { Flood } from './floodBlocks.ts';

/** Share of each node's volume that lies under liquid after a flood, 0 to 1. */
export function leftShares(blocks: ChamberBlocks, { low, level }: Flood, up: Vec3): Float64Array {
  const shares = new Float64Array(low.length);
  for (let node = 0; node < shares.length; node++) {
    shares[node] = shareBelow(blocks, node, up, low[node]!, level[node]!);
  }
  return shares;
}

/**
 * Share of a node's volume below `level`: linear over the height of its cells, which is exact for a box
 * with `up` along its axes; the node is empty at its lowest reachable point.
 */
export function shareBelow(
  { centroid, halfSize }: ChamberBlocks,
  node: number,
  [x, y, z]: Vec3,
  low: number,
  level: number,
): number {
  if (level <= low) return 0;
  if (level === Infinity) return 1;
  const at = 3 * node;
  const middle = x * centroid[at]! + y * centroid[at + 1]! + z * centroid[at + 2]!;
  const half =
    Math.abs(x) * halfSize[at]! + Math.abs(y) * halfSize[at + 1]! + Math.abs(z) * halfSize[at + 2]!;
  const reach = Math.max(leastHalf * half, Math.min(half, middle - low));
  return Math.min(1, Math.max(0, 0.5 + (level - middle) / (2 * reach)));
}

/** Of a node whose lowest point seems to lie above its middle: the ball of one deep cell says little there. */
const leastHalf = 0.1;
