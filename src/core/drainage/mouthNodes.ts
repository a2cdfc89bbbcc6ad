import { basisAcross } from '../openings/basisAcross.ts';
import { add, scale, type Vec3 } from '../vector.ts';
import type { ChamberBlocks } from './chamberBlocks.ts';
import type { ChamberMouth } from './chamberMouth.ts';

/** Points on the mouth's disc that are asked for their node: its middle and so many round it. */
const RIM_POINTS = 8;
const RIM_SHARE = 0.8;

/** The nodes of a chamber that a mouth opens: those nearest to points of its inner end, at least one. */
export function mouthNodes(blocks: ChamberBlocks, mouth: ChamberMouth): number[] {
  const { inner, axis, radius } = mouth;
  // Into the first cells behind the wall.
  const middle = add(inner, scale(axis, blocks.cellMm / 2));
  const [u, v] = basisAcross(axis);
  const points: Vec3[] = [middle];
  for (let n = 0; n < RIM_POINTS; n++) {
    const turn = (2 * Math.PI * n) / RIM_POINTS;
    const across = add(scale(u, Math.cos(turn)), scale(v, Math.sin(turn)));
    points.push(add(middle, scale(across, RIM_SHARE * radius)));
  }
  const found = nearestNodes(blocks, points);
  // The rim may hang over solid: only what is as near as a cell counts, beside the nearest of the middle.
  const near = found.filter(({ node, distance }) => node >= 0 && distance <= blocks.cellMm);
  const nodes = [found[0]!, ...near].map(({ node }) => node).filter((node) => node >= 0);
  return [...new Set(nodes)].sort((a, b) => a - b);
}

/** By point, the chamber's node with the nearest box of cells (the nearest middle among several). */
function nearestNodes(
  { clearance, centroid, halfSize }: ChamberBlocks,
  points: readonly Vec3[],
): { node: number; distance: number }[] {
  const best = points.map(() => ({ node: -1, distance: Infinity, middle: Infinity }));
  for (let node = 0; node < clearance.length; node++) {
    const at = 3 * node;
    points.forEach(([x, y, z], index) => {
      const dx = Math.abs(x - centroid[at]!);
      const dy = Math.abs(y - centroid[at + 1]!);
      const dz = Math.abs(z - centroid[at + 2]!);
      const distance = Math.hypot(
        Math.max(0, dx - halfSize[at]!),
        Math.max(0, dy - halfSize[at + 1]!),
        Math.max(0, dz - halfSize[at + 2]!),
      );
      const middle = dx * dx + dy * dy + dz * dz;
      const known = best[index]!;
      if (distance > known.distance || (distance === known.distance && middle >= known.middle)) return;
      best[index] = { node, distance, middle };
    });
  }
  return best;
}
