import type { ChamberBlocks } from '../drainage/chamberBlocks.ts';
import { nodePlace } from '../drainage/nodePlace.ts';
import type { ChamberReach } from './chamberReach.ts';
import type { MouthReach } from './mouthReach.ts';

/** What of the chamber of these blocks its mouths reach together. Null for one without any. */
export function joinReaches(
  blocks: ChamberBlocks,
  mouths: readonly { readonly radius: number; readonly reach: MouthReach }[],
): ChamberReach | null {
  const unlit = openTally(blocks);
  const unrinsed = openTally(blocks);
  let farthest = -1;
  let farthestMm = 0;
  for (let node = 0; node < blocks.volumeMm3.length; node++) {
    let wayMm = Infinity;
    let rinsed = 0;
    let lit = 0;
    for (const { reach } of mouths) {
      wayMm = Math.min(wayMm, reach.wayMm[node]!);
      rinsed |= reach.rinsed[node]!;
      lit |= reach.lit[node]!;
    }
    // A piece of a few cells that only touches the rest by an edge has no way of its own.
    if (wayMm === Infinity) continue;
    if (farthest < 0 || wayMm > farthestMm) {
      farthest = node;
      farthestMm = wayMm;
    }
    if (rinsed === 0) unrinsed.add(node);
    if (lit === 0) unlit.add(node);
  }
  if (farthest < 0) return null;
  return {
    smallestOpeningMm: 2 * Math.min(...mouths.map(({ radius }) => radius)),
    farthestMm,
    farthestAt: nodePlace(blocks, farthest),
    unlitMm3: unlit.volumeMm3(),
    unlitAt: unlit.largest(),
    unrinsedMm3: unrinsed.volumeMm3(),
    unrinsedAt: unrinsed.largest(),
  };
}

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
    largest: () => (widest < 0 ? null : nodePlace(blocks, widest)),
  };
}
