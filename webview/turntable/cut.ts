import type { Affine } from '../../src/core/affine.ts';
import { type PackedSurface, wordsPerVertex } from '../../src/core/surface/packedSurface.ts';
import { dot, type Vec3 } from '../../src/core/vector.ts';

/**
 * Where the part is cut. A layer cut keeps what is printed once that layer is done; a plane cut
 * keeps what lies behind the plane. `offset` is mm along `normal` from the print frame's origin.
 */
export type Cut =
  | { readonly by: 'none' }
  | { readonly by: 'layer'; readonly layer: number }
  | { readonly by: PlaneName; readonly normal: Vec3; readonly offset: number };

export type PlaneName = 'x' | 'y' | 'facing';

/** Kept are the points p with normal · p ≤ offset. */
export interface Plane {
  readonly normal: Vec3;
  readonly offset: number;
}

export function cutPlane(cut: Cut, layerHeight: number): Plane | null {
  switch (cut.by) {
    case 'none':
      return null;
    case 'layer':
      // The height at which a layer is sampled everywhere else in Kitwright: its middle.
      return { normal: [0, 0, 1], offset: (cut.layer + 0.5) * layerHeight };
    default:
      return { normal: cut.normal, offset: cut.offset };
  }
}

/** Lowest and highest normal · p over a drawn surface, print frame. */
export function extentAlong(
  { origin, step, vertices }: PackedSurface,
  toPrint: Affine,
  normal: Vec3,
): readonly [low: number, high: number] {
  const { linear: m, shift } = toPrint;
  const along = (axis: 0 | 1 | 2): number =>
    normal[0] * m[axis]! + normal[1] * m[axis + 3]! + normal[2] * m[axis + 6]!;
  const [x, y, z] = [along(0), along(1), along(2)];
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < vertices.length; i += wordsPerVertex) {
    const steps = x * vertices[i]! + y * vertices[i + 1]! + z * vertices[i + 2]!;
    if (steps < low) low = steps;
    if (steps > high) high = steps;
  }
  const base = x * origin[0] + y * origin[1] + z * origin[2] + dot(normal, shift);
  return low > high ? [0, 0] : [base + step * low, base + step * high];
}

/** The cut's normal for a named plane, on the side that the camera looks from. */
export function planeNormal(name: PlaneName, towardCamera: Vec3): Vec3 {
  switch (name) {
    case 'x':
      return [towardCamera[0] < 0 ? -1 : 1, 0, 0];
    case 'y':
      return [0, towardCamera[1] > 0 ? 1 : -1, 0];
    default:
      return towardCamera;
  }
}

/** True where a point is cut away. */
export function isCutAway(plane: Plane | null, point: Vec3): boolean {
  return plane !== null && dot(plane.normal, point) > plane.offset;
}
