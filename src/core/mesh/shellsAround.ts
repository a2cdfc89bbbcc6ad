import { childEnd, childStart, type FacetTree, leafEnd, leafStart } from '../field/facetTree.ts';
import type { Vec3 } from '../vector.ts';
import type { ShellLabels } from './labelShells.ts';

/** Unlike any direction a modeller uses; tried in turn when a ray grazes an edge. */
const directions: readonly Vec3[] = [
  [0.6131, 0.5417, 0.5751],
  [-0.4327, 0.7213, 0.5407],
  [0.3371, -0.5189, 0.7856],
  [-0.7013, -0.3299, -0.6319],
];
/** A hit nearer than this to an edge of its facet, in barycentric terms, may be counted twice or not at all. */
const grazing = 1e-9;

/**
 * Winding numbers of the shells other than `own` about a point, those that are not 0: by a ray
 * through the tree of all facets, +1 where it leaves a shell and −1 where it enters one.
 */
export function shellsAround(
  tree: FacetTree,
  labels: ShellLabels,
  point: Vec3,
  own: number,
): Map<number, number> {
  let windings = new Map<number, number>();
  for (const direction of directions) {
    windings = new Map();
    if (castRay(tree, labels, point, direction, own, windings)) break;
  }
  for (const [shell, winding] of windings) if (winding === 0) windings.delete(shell);
  return windings;
}

/** False when the ray grazed an edge. */
function castRay(
  tree: FacetTree,
  labels: ShellLabels,
  point: Vec3,
  direction: Vec3,
  own: number,
  windings: Map<number, number>,
): boolean {
  const top = tree.levelStart.length - 2;
  const stack = [top, tree.levelStart[top]!];
  while (stack.length > 0) {
    const box = stack.pop()!;
    const level = stack.pop()!;
    if (!rayMeetsBox(tree.boxes, 6 * box, point, direction)) continue;
    if (level > 0) {
      for (let c = childStart(tree, level, box); c < childEnd(tree, level, box); c++)
        stack.push(level - 1, c);
      continue;
    }
    for (let i = leafStart(box); i < leafEnd(tree, box); i++) {
      const shell = labels.label[tree.facet[i]!]!;
      if (shell === own) continue;
      const crossing = crossFacet(tree.corners, 9 * i, point, direction);
      if (Number.isNaN(crossing)) return false;
      if (crossing !== 0) windings.set(shell, (windings.get(shell) ?? 0) + crossing);
    }
  }
  return true;
}

function rayMeetsBox(boxes: Float32Array, box: number, point: Vec3, direction: Vec3): boolean {
  let near = 0;
  let far = Number.POSITIVE_INFINITY;
  for (let axis = 0; axis < 3; axis++) {
    const a = (boxes[box + axis]! - point[axis]!) / direction[axis]!;
    const b = (boxes[box + 3 + axis]! - point[axis]!) / direction[axis]!;
    near = Math.max(near, Math.min(a, b));
    far = Math.min(far, Math.max(a, b));
  }
  // Boxes without thickness need the slack.
  return near <= far * (1 + 1e-12) + 1e-12;
}

/** +1 leaving, −1 entering, 0 for a miss, NaN for a graze. Möller & Trumbore 1997. */
function crossFacet(p: Float32Array, at: number, point: Vec3, d: Vec3): number {
  const ux = p[at + 3]! - p[at]!;
  const uy = p[at + 4]! - p[at + 1]!;
  const uz = p[at + 5]! - p[at + 2]!;
  const vx = p[at + 6]! - p[at]!;
  const vy = p[at + 7]! - p[at + 1]!;
  const vz = p[at + 8]! - p[at + 2]!;
  const hx = d[1] * vz - d[2] * vy;
  const hy = d[2] * vx - d[0] * vz;
  const hz = d[0] * vy - d[1] * vx;
  const determinant = ux * hx + uy * hy + uz * hz;
  if (determinant === 0) return 0;
  const sx = point[0] - p[at]!;
  const sy = point[1] - p[at + 1]!;
  const sz = point[2] - p[at + 2]!;
  const u = (sx * hx + sy * hy + sz * hz) / determinant;
  if (u < -grazing || u > 1 + grazing) return 0;
  const qx = sy * uz - sz * uy;
  const qy = sz * ux - sx * uz;
  const qz = sx * uy - sy * ux;
  const v = (d[0] * qx + d[1] * qy + d[2] * qz) / determinant;
  if (v < -grazing || u + v > 1 + grazing) return 0;
  if ((vx * qx + vy * qy + vz * qz) / determinant <= 0) return 0;
  if (u < grazing || v < grazing || u + v > 1 - grazing) return Number.NaN;
  // The determinant is −(normal · direction): negative where the ray leaves.
  return determinant < 0 ? 1 : -1;
}
