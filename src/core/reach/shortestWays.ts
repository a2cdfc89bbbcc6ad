import type { ChamberBlocks } from '../drainage/chamberBlocks.ts';

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
  const heap = openHeap();
  for (const node of starts) {
    ways[node] = 0;
    heap.push(0, node);
  }
  for (let next = heap.pop(); next !== null; next = heap.pop()) {
    const [way, node] = next;
    if (way > ways[node]!) continue;
    for (let entry = neighbourStart[node]!; entry < neighbourStart[node + 1]!; entry++) {
      if (passRadius[entry]! < leastRadius) continue;
      const other = neighbour[entry]!;
      const length =
        way +
        Math.hypot(
          centroid[3 * node]! - centroid[3 * other]!,
          centroid[3 * node + 1]! - centroid[3 * other + 1]!,
          centroid[3 * node + 2]! - centroid[3 * other + 2]!,
        );
      if (length >= ways[other]! || length > mostMm) continue;
      ways[other] = length;
      heap.push(length, other);
    }
  }
  return ways;
}

/** Least key first. */
function openHeap() {
  const keys: number[] = [];
  const items: number[] = [];
  const swap = (a: number, b: number): void => {
    [keys[a], keys[b]] = [keys[b]!, keys[a]!];
    [items[a], items[b]] = [items[b]!, items[a]!];
  };
  return {
    push(key: number, item: number): void {
      let at = keys.push(key) - 1;
      items.push(item);
      for (let up = (at - 1) >> 1; at > 0 && keys[up]! > keys[at]!; up = (at - 1) >> 1) {
        swap(at, up);
        at = up;
      }
    },
    pop(): readonly [key: number, item: number] | null {
      if (keys.length === 0) return null;
      swap(0, keys.length - 1);
      const least = [keys.pop()!, items.pop()!] as const;
      for (let at = 0; ; ) {
        const [left, right] = [2 * at + 1, 2 * at + 2];
        let small = at;
        if (left < keys.length && keys[left]! < keys[small]!) small = left;
        if (right < keys.length && keys[right]! < keys[small]!) small = right;
        if (small === at) return least;
        swap(at, small);
        at = small;
      }
    },
  };
}
