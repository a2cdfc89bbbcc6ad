import type { ChamberBlocks } from './chamberBlocks.ts';

/**
 * The same blocks with the volume that their chamber really has: whole cells miss it by up to half a cell
 * at each wall, which is some percent where walls run along the axes.
 */
export function withVolume(blocks: ChamberBlocks, volumeMm3: number): ChamberBlocks {
  const counted = blocks.volumeMm3.reduce((sum, volume) => sum + volume, 0);
  if (counted === 0) return blocks;
  return { ...blocks, volumeMm3: blocks.volumeMm3.map((volume) => (volume * volumeMm3) / counted) };
}
