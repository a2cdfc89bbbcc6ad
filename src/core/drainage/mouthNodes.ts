import { basisAcross } from '../openings/basisAcross.ts';
import { add, norm, scale, subtract, type Vec3 } from '../vector.ts';
import type { ChamberBlocks } from './chamberBlocks.ts';
import type { MouthPlace } from './chamberMouth.ts';

/** Points on the mouth's disc that are asked for their node: its middle and so many round it. */
const RIM_POINTS = 8;
const RIM_SHARE = 0.8;

/** The nodes of a chamber that a mouth opens: those nearest to points of its inner end, at least one. */
export function mouthNodes(blocks: ChamberBlocks, mouth: MouthPlace): number[] {
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
  const [first] = points as [Vec3];
  const span = Math.max(...points.map((point) => norm(subtract(point, first))));
  for (let node = 0; node < clearance.length; node++) {
    const at = 3 * node;
    // Nearest to none of the points is what lies further from the first than its best by twice their span.
    const far = boxDistance(centroid, halfSize, at, first) - 2 * span;
    if (far > best[0]!.distance) continue;
    points.forEach(([x, y, z], index) => {
      const dx = Math.abs(x - centroid[at]!);
      const dy = Math.abs(y - centroid[at + 1]!);
      const dz = Math.abs(z - centroid[at + 2]!);
      const distance = boxDistance(centroid, halfSize, at, [x, y, z]);
      const middle = dx * dx + dy * dy + dz * dz;
      const known = best[index]!;
      if (distance > known.distance || (distance === known.distance && middle >= known.middle)) return;
      best[index] = { node, distance, middle };
    });
  }
  return best;
}

/** Distance of a point from the box round a node's cells; 0 within. */
function boxDistance(centroid: Float32Array, halfSize: Float32Array, at: number, [x, y, z]: Vec3): number {
  const dx = Math.max(0, Math.abs(x - centroid[at]!) - halfSize[at]!);
  const dy = Math.max(0, Math.abs(y - centroid[at + 1]!) - halfSize[at + 1]!);
  const dz = Math.max(0, Math.abs(z - centroid[at + 2]!) - halfSize[at + 2]!);
  return Math.sqrt(dx * dx + dy * dy + dz * dz);
}
