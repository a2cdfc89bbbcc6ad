import { childEnd, childStart, type FacetTree, leafEnd, leafStart } from './facetTree.ts';

const STACK = 128;

/** The caller's own working memory for closest-point queries, and where their answer stands. */
export interface ClosestPoint {
  /** Packed number of the closest facet (`tree.facet[packed]` is the mesh's), −1 when none is near enough. */
  packed: number;
  squared: number;
  /** The closest point itself. */
  x: number;
  y: number;
  z: number;
  readonly stackBox: Int32Array;
  readonly stackLevel: Int32Array;
  readonly stackSquared: Float64Array;
}

export function closestPointScratch(): ClosestPoint {
  return {
    packed: -1,
    squared: Infinity,
    x: 0,
    y: 0,
    z: 0,
    stackBox: new Int32Array(STACK),
    stackLevel: new Int32Array(STACK),
    stackSquared: new Float64Array(STACK),
  };
}

/**
 * Finds the point of the surface closest to (x, y, z), exactly. `hint` is a packed facet likely to
 * be near (−1 for none): a good one makes the search several times shorter and never changes the
 * distance found. The answer is written into `found`.
 *
 * `within` bounds the search: nothing is found further than its root. `excess` ≥ 1 lets the answer
 * be further than the closest by that factor, for a shorter search.
 */
export function closestPoint(
  tree: FacetTree,
  x: number,
  y: number,
  z: number,
  hint: number,
  found: ClosestPoint,
  within = Infinity,
  excess = 1,
): void {
  found.packed = -1;
  found.squared = within;
  if (hint >= 0) tryFacet(tree.corners, hint, x, y, z, found);
  const { boxes, levelStart } = tree;
  const weight = excess * excess;
  const { stackBox, stackLevel, stackSquared } = found;
  stackBox[0] = levelStart.at(-1)! - 1;
  stackLevel[0] = levelStart.length - 2;
  stackSquared[0] = 0;
  let depth = 1;
  while (depth > 0) {
    depth--;
    if (stackSquared[depth]! >= found.squared) continue;
    const at = stackBox[depth]!;
    const level = stackLevel[depth]!;
    if (level === 0) {
      const end = leafEnd(tree, at);
      for (let i = leafStart(at); i < end; i++) if (i !== hint) tryFacet(tree.corners, i, x, y, z, found);
      continue;
    }
    const base = depth;
    const end = childEnd(tree, level, at);
    for (let child = childStart(tree, level, at); child < end; child++) {
      const b = 6 * child;
      const dx = Math.max(boxes[b]! - x, x - boxes[b + 3]!, 0);
      const dy = Math.max(boxes[b + 1]! - y, y - boxes[b + 4]!, 0);
      const dz = Math.max(boxes[b + 2]! - z, z - boxes[b + 5]!, 0);
      const squared = weight * (dx * dx + dy * dy + dz * dz);
      if (squared >= found.squared) continue;
      // Insertion keeps the nearest child on top of the stack.
      let slot = depth++;
      while (slot > base && stackSquared[slot - 1]! < squared) {
        stackSquared[slot] = stackSquared[slot - 1]!;
        stackBox[slot] = stackBox[slot - 1]!;
        slot--;
      }
      stackSquared[slot] = squared;
      stackBox[slot] = child;
    }
    for (let slot = base; slot < depth; slot++) stackLevel[slot] = level - 1;
  }
}

/**
 * Offers one facet: keeps it in `found` when it is closer than what stands there.
 * Regions of the closest point after Ericson, Real-Time Collision Detection (2005), 5.1.5.
 */
export function tryFacet(
  corners: Float32Array,
  packed: number,
  x: number,
  y: number,
  z: number,
  found: ClosestPoint,
): void {
  const o = 9 * packed;
  const ax = corners[o]!;
  const ay = corners[o + 1]!;
  const az = corners[o + 2]!;
  const ux = corners[o + 3]! - ax;
  const uy = corners[o + 4]! - ay;
  const uz = corners[o + 5]! - az;
  const vx = corners[o + 6]! - ax;
  const vy = corners[o + 7]! - ay;
  const vz = corners[o + 8]! - az;
  const px = x - ax;
  const py = y - ay;
  const pz = z - az;
  const d1 = ux * px + uy * py + uz * pz;
  const d2 = vx * px + vy * py + vz * pz;
  const uu = ux * ux + uy * uy + uz * uz;
  const uv = ux * vx + uy * vy + uz * vz;
  const vv = vx * vx + vy * vy + vz * vz;
  const d3 = d1 - uu;
  const d4 = d2 - uv;
  const d5 = d1 - uv;
  const d6 = d2 - vv;
  // Weights of b and c in the closest point.
  let s = 0;
  let t = 0;
  if (d1 > 0 || d2 > 0) {
    const vc = d1 * d4 - d3 * d2;
    const vb = d5 * d2 - d1 * d6;
    const va = d3 * d6 - d5 * d4;
    if (d3 >= 0 && d4 <= d3) s = 1;
    else if (d6 >= 0 && d5 <= d6) t = 1;
    else if (vc <= 0 && d1 >= 0 && d3 <= 0) s = d1 / (d1 - d3);
    else if (vb <= 0 && d2 >= 0 && d6 <= 0) t = d2 / (d2 - d6);
    else if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
      t = (d4 - d3) / (d4 - d3 + (d5 - d6));
      s = 1 - t;
    } else {
      const scale = 1 / (va + vb + vc);
      s = vb * scale;
      t = vc * scale;
    }
  }
  if (!(s >= 0 && t >= 0)) {
    // A facet without area: its corners' edges stand for it.
    s = uu > 0 ? Math.min(1, Math.max(0, d1 / uu)) : 0;
    t = 0;
  }
  const cx = s * ux + t * vx;
  const cy = s * uy + t * vy;
  const cz = s * uz + t * vz;
  const ex = px - cx;
  const ey = py - cy;
  const ez = pz - cz;
  const squared = ex * ex + ey * ey + ez * ez;
  if (squared < found.squared) {
    found.squared = squared;
    found.packed = packed;
    found.x = ax + cx;
    found.y = ay + cy;
    found.z = az + cz;
  }
}
