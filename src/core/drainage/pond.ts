import type { Vec3 } from '../vector.ts';
import type { ChamberBlocks } from './chamberBlocks.ts';
import type { Flood } from './floodBlocks.ts';
import { shareBelow } from './leftInBlocks.ts';

/** Liquid that stays in one place. */
export interface Pond {
  readonly volumeMm3: number;
  /** Lowest point, on the chamber's wall or a little above it. */
  readonly at: Vec3;
  /** Height of its surface along the up direction; infinite where the cells know no way out. */
  readonly level: number;
  /** The outlet it would run off to if it stood higher; −1 for none. */
  readonly outlet: number;
  /** mm above its lowest point under which 99 % and a tenth of it lie. */
  readonly depthMm: number;
  readonly lastTenthMm: number;
}

/** The largest pond that a flood leaves; null when it leaves nothing. */
export function largestPond(
  blocks: ChamberBlocks,
  flood: Flood,
  shares: Float64Array,
  up: Vec3,
): Pond | null {
  const { low, level, outlet } = flood;
  const seen = new Uint8Array(low.length);
  let largest: { readonly nodes: readonly number[]; readonly volumeMm3: number } | null = null;
  for (let start = 0; start < low.length; start++) {
    if (seen[start] === 1 || shares[start] === 0) continue;
    const nodes = pondFrom(blocks, shares, seen, start);
    const volumeMm3 = nodes.reduce((sum, node) => sum + blocks.volumeMm3[node]! * shares[node]!, 0);
    if (volumeMm3 > (largest?.volumeMm3 ?? 0)) largest = { nodes, volumeMm3 };
  }
  if (largest === null) return null;
  const { nodes, volumeMm3 } = largest;
  const lowest = nodes.reduce((a, b) => (low[b]! < low[a]! ? b : a));
  const reach = blocks.clearance[lowest]!;
  return {
    volumeMm3,
    at: [0, 1, 2].map((axis) => blocks.deepest[3 * lowest + axis]! - reach * up[axis]!) as unknown as Vec3,
    level: level[lowest]!,
    outlet: outlet[lowest]!,
    depthMm: heightOf(blocks, nodes, flood, up, 0.99 * volumeMm3) - low[lowest]!,
    lastTenthMm: heightOf(blocks, nodes, flood, up, volumeMm3 / 10) - low[lowest]!,
  };
}

/** Nodes under liquid that hang together with the first: neighbours under liquid share its level, by the flood. */
function pondFrom(
  { neighbour, neighbourStart }: ChamberBlocks,
  shares: Float64Array,
  seen: Uint8Array,
  start: number,
): number[] {
  const nodes = [start];
  seen[start] = 1;
  for (let at = 0; at < nodes.length; at++) {
    const node = nodes[at]!;
    for (let entry = neighbourStart[node]!; entry < neighbourStart[node + 1]!; entry++) {
      const next = neighbour[entry]!;
      if (seen[next] === 1 || shares[next] === 0) continue;
      seen[next] = 1;
      nodes.push(next);
    }
  }
  return nodes;
}

/** Halvings of a pond's depth: to a four-thousandth of it. */
const HALVINGS = 12;

/** Height at which so much of a pond lies below. */
function heightOf(
  blocks: ChamberBlocks,
  nodes: readonly number[],
  { low, level }: Flood,
  up: Vec3,
  volumeMm3: number,
): number {
  const below = (height: number): number =>
    nodes.reduce(
      (sum, node) => sum + blocks.volumeMm3[node]! * shareBelow(blocks, node, up, low[node]!, height),
      0,
    );
  let from = nodes.reduce((lowest, node) => Math.min(lowest, low[node]!), Infinity);
  const tops = nodes.reduce((top, node) => Math.max(top, low[node]! + 2 * blocks.clearance[node]!), from);
  let to = Math.min(level[nodes[0]!]!, tops);
  for (let step = 0; step < HALVINGS; step++) {
    const middle = (from + to) / 2;
    if (below(middle) < volumeMm3) from = middle;
    else to = middle;
  }
  return to;
}
