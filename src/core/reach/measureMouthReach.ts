import type { ChamberCells } from '../chambers/chamberCells.ts';
import type { ChamberBlocks } from '../drainage/chamberBlocks.ts';
import type { MouthPlace } from '../drainage/chamberMouth.ts';
import { mouthNodes } from '../drainage/mouthNodes.ts';
import { nodePlace } from '../drainage/nodePlace.ts';
import { add, scale, type Vec3 } from '../vector.ts';
import type { ReachLimits } from './chamberReach.ts';
import { isSeen } from './isSeen.ts';
import type { MouthReach } from './mouthReach.ts';
import { shortestWays } from './shortestWays.ts';

/**
 * What of the chamber of these blocks one of its mouths reaches. A lamp lights what it sees straight; light
 * that walls throw back is not counted. A jet follows ways through the chamber, not straight lines.
 */
export function measureMouthReach(
  cells: Pick<ChamberCells, 'origin' | 'spacing' | 'size'>,
  lookup: Int32Array,
  blocks: ChamberBlocks,
  mouth: MouthPlace,
  limits: ReachLimits,
): MouthReach {
  const starts = mouthNodes(blocks, mouth);
  const nodes = blocks.volumeMm3.length;
  const lit = new Uint8Array(nodes);
  for (let node = 0; node < nodes; node++) {
    if (lights(cells, lookup, mouth, nodePlace(blocks, node), limits)) lit[node] = 1;
  }
  const rinsed =
    2 * mouth.radius >= limits.rinseWay ? rinsedNodes(blocks, starts, limits) : new Uint8Array(nodes);
  return { wayMm: shortestWays(blocks, starts, 0), rinsed, lit };
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
  { inner, outer, axis, radius }: MouthPlace,
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
