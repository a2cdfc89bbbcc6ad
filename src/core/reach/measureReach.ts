import type { ChamberCells } from '../chambers/chamberCells.ts';
import type { ChamberBlocks } from '../drainage/chamberBlocks.ts';
import type { ChamberMouth } from '../drainage/chamberMouth.ts';
import { mouthNodes } from '../drainage/mouthNodes.ts';
import { add, scale, type Vec3 } from '../vector.ts';
import type { ChamberReach, ReachLimits } from './chamberReach.ts';
import { isSeen } from './isSeen.ts';
import { shortestWays } from './shortestWays.ts';

/**
 * What of the chamber of these blocks its openings reach. Null for one without openings. A lamp lights what it sees straight;
 * light that walls throw back is not counted. A jet follows ways through the chamber, not straight lines.
 */
export function measureReach(
  cells: Pick<ChamberCells, 'origin' | 'spacing' | 'size'>,
  lookup: Int32Array,
  blocks: ChamberBlocks,
  mouths: readonly ChamberMouth[],
  limits: ReachLimits,
): ChamberReach | null {
  if (mouths.length === 0) return null;
  const starts = mouths.map((mouth) => mouthNodes(blocks, mouth));
  const anyWay = shortestWays(blocks, starts.flat(), 0);
  const wide = starts.filter((_, n) => 2 * mouths[n]!.radius >= limits.rinseWay).flat();
  const rinsed = rinsedNodes(blocks, wide, limits);
  const unlit = openTally(blocks);
  const unrinsed = openTally(blocks);
  let farthest = -1;
  for (let node = 0; node < blocks.volumeMm3.length; node++) {
    // A piece of a few cells that only touches the rest by an edge has no way of its own.
    if (anyWay[node] === Infinity) continue;
    if (farthest < 0 || anyWay[node]! > anyWay[farthest]!) farthest = node;
    if (rinsed[node] === 0) unrinsed.add(node);
    const place = deepestOf(blocks, node);
    if (!mouths.some((mouth) => lights(cells, lookup, mouth, place, limits))) unlit.add(node);
  }
  if (farthest < 0) return null;
  return {
    smallestOpeningMm: 2 * Math.min(...mouths.map(({ radius }) => radius)),
    farthestMm: anyWay[farthest]!,
    farthestAt: deepestOf(blocks, farthest),
    unlitMm3: unlit.volumeMm3(),
    unlitAt: unlit.largest(),
    unrinsedMm3: unrinsed.volumeMm3(),
    unrinsedAt: unrinsed.largest(),
  };
}

/**
 * 1 for the nodes that a rinse gets to. Beside a mouth, and along every wall, a chamber is narrow without
 * being a narrow way: what lies within two widths of a place that is rinsed is rinsed from there.
 */
function rinsedNodes(
  blocks: ChamberBlocks,
  starts: readonly number[],
  { rinseWay, rinseReach }: ReachLimits,
): Uint8Array {
  const around = (from: Iterable<number>, leastRadius: number, mostMm: number): Uint32Array => {
    const ways = shortestWays(blocks, from, leastRadius, mostMm);
    return nodesWhere(ways.length, (node) => ways[node]! < Infinity);
  };
  const beside = around(starts, 0, 2 * rinseWay);
  const open = around(beside, rinseWay / 2, rinseReach);
  const rinsed = new Uint8Array(blocks.volumeMm3.length);
  for (const node of around(open, 0, 2 * rinseWay)) rinsed[node] = 1;
  return rinsed;
}

function nodesWhere(count: number, holds: (node: number) => boolean): Uint32Array {
  const nodes = new Uint32Array(count);
  let found = 0;
  for (let node = 0; node < count; node++) if (holds(node)) nodes[found++] = node;
  return nodes.subarray(0, found);
}

function lights(
  cells: Pick<ChamberCells, 'origin' | 'spacing' | 'size'>,
  lookup: Int32Array,
  { inner, outer, axis, radius }: ChamberMouth,
  place: Vec3,
  { lamp, lampReach }: ReachLimits,
): boolean {
  const away = Math.hypot(place[0] - inner[0], place[1] - inner[1], place[2] - inner[2]);
  if (away > lampReach) return false;
  // A lamp goes in by its own size; one that stays outside shines through the bore alone.
  if (2 * radius >= lamp) return isSeen(cells, lookup, add(inner, scale(axis, lamp / 2)), place);
  const bore = Math.hypot(inner[0] - outer[0], inner[1] - outer[1], inner[2] - outer[2]);
  const along = axis.reduce((sum, c, n) => sum + c * (place[n]! - outer[n]!), 0);
  const reach = Math.hypot(place[0] - outer[0], place[1] - outer[1], place[2] - outer[2]);
  const across = Math.sqrt(Math.max(0, reach ** 2 - along ** 2));
  if (across * bore > radius * along) return false;
  return isSeen(cells, lookup, add(inner, scale(axis, cells.spacing / 2)), place);
}

const deepestOf = ({ deepest }: ChamberBlocks, node: number): Vec3 => [
  deepest[3 * node]!,
  deepest[3 * node + 1]!,
  deepest[3 * node + 2]!,
];

/** Sums nodes, and keeps the one with most room round it. */
function openTally(blocks: ChamberBlocks) {
  let volume = 0;
  let widest = -1;
  return {
    add(node: number): void {
      volume += blocks.volumeMm3[node]!;
      if (widest < 0 || blocks.clearance[node]! > blocks.clearance[widest]!) widest = node;
    },
    volumeMm3: () => volume,
    largest: () => (widest < 0 ? null : deepestOf(blocks, widest)),
  };
}
