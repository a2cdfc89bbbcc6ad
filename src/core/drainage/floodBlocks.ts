import { LevelQueue } from '../levelQueue.ts';
import type { Vec3 } from '../vector.ts';
import type { ChamberBlocks } from './chamberBlocks.ts';

/** Where liquid can leave: a node and the height along `up`, mm, it must rise to there. */
export interface Outlet {
  readonly node: number;
  readonly level: number;
}

export interface Flood {
  /** By node, height along `up`, mm: its lowest reachable point. */
  readonly low: Float64Array;
  /** By node: how high liquid stands there in the end; its `low` where all runs off, infinite where nothing can. */
  readonly level: Float64Array;
  /** By node: the outlet it runs off to; −1 where there is none. */
  readonly outlet: Int32Array;
}

/**
 * The liquid that stays in the chambers when they are full, with `up` (unit) upward, and everything that
 * can runs off through the outlets.
 *
 * Priority flood from the outlets inward (Barnes, Lehman & Mulla, "Priority-flood", Computers &
 * Geosciences 62, 2014, algorithm 2: what lies no higher than where it was entered from skips the heap).
 * A node's height is the lower end of the ball of its clearance about its deepest cell: a point that
 * surely lies in the chamber, so that what stays is told a little too high rather than too low.
 */
export function floodBlocks(blocks: ChamberBlocks, up: Vec3, outlets: readonly Outlet[]): Flood {
  const low = lowestPoints(blocks, up);
  for (const { node, level } of outlets) low[node] = Math.min(low[node]!, level);
  const level = new Float64Array(low.length).fill(Infinity);
  const outlet = new Int32Array(low.length).fill(-1);
  const rim = new LevelQueue();
  // Outlets wait among the nodes, by numbers past theirs: one that lower liquid has passed by then is dry.
  const nodes = low.length;
  for (let index = 0; index < outlets.length; index++) rim.push(nodes + index, outlets[index]!.level);
  const { neighbour, neighbourStart } = blocks;
  const pit: number[] = [];
  for (;;) {
    let node = pit.pop() ?? rim.pop();
    if (node === -1) break;
    if (node >= nodes) {
      const index = node - nodes;
      node = outlets[index]!.node;
      if (level[node] !== Infinity) continue;
      level[node] = outlets[index]!.level;
      outlet[node] = index;
    }
    const here = level[node]!;
    for (let entry = neighbourStart[node]!; entry < neighbourStart[node + 1]!; entry++) {
      const next = neighbour[entry]!;
      if (level[next] !== Infinity) continue;
      outlet[next] = outlet[node]!;
      if (low[next]! <= here) {
        level[next] = here;
        pit.push(next);
      } else {
        level[next] = low[next]!;
        rim.push(next, low[next]!);
      }
    }
  }
  return { low, level, outlet };
}

export function lowestPoints({ deepest, clearance }: ChamberBlocks, [x, y, z]: Vec3): Float64Array {
  const low = new Float64Array(clearance.length);
  for (let node = 0; node < low.length; node++) {
    const at = 3 * node;
    low[node] = x * deepest[at]! + y * deepest[at + 1]! + z * deepest[at + 2]! - clearance[node]!;
  }
  return low;
}
