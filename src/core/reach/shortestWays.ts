import type { ChamberBlocks } from '../drainage/chamberBlocks.ts';
import { LevelQueue } from '../levelQueue.ts';

/**
 * Length of the shortest way from any of some nodes to every node, mm, from middle to middle, through passes
 * of at least a radius; Infinity where there is none, or none of `mostMm`. Dijkstra 1959, with a binary heap.
 */
export function shortestWays(
  blocks: ChamberBlocks,
  starts: Iterable<number>,
  leastRadius: number,
  mostMm = Infinity,
): Float64Array {
  const { centroid, neighbourStart, neighbour, passRadius } = blocks;
  const ways = new Float64Array(blocks.volumeMm3.length).fill(Infinity);
  const settled = new Uint8Array(ways.length);
  const queue = new LevelQueue();
  for (const node of starts) {
    ways[node] = 0;
    queue.push(node, 0);
  }
  for (let node = queue.pop(); node >= 0; node = queue.pop()) {
    if (settled[node] === 1) continue;
    settled[node] = 1;
    const way = ways[node]!;
    for (let entry = neighbourStart[node]!; entry < neighbourStart[node + 1]!; entry++) {
      const other = neighbour[entry]!;
      if (settled[other] === 1 || passRadius[entry]! < leastRadius) continue;
      const x = centroid[3 * node]! - centroid[3 * other]!;
      const y = centroid[3 * node + 1]! - centroid[3 * other + 1]!;
      const z = centroid[3 * node + 2]! - centroid[3 * other + 2]!;
      const length = way + Math.sqrt(x * x + y * y + z * z);
      if (length >= ways[other]! || length > mostMm) continue;
      ways[other] = length;
      queue.push(other, length);
    }
  }
  return ways;
}
