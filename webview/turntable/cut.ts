import type { Mesh } from '../../src/core/mesh/mesh.ts';
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

/** Lowest and highest normal · p over a mesh. */
export function extentAlong({ positions }: Mesh, normal: Vec3): readonly [low: number, high: number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < positions.length; i += 3) {
    const along = positions[i]! * normal[0] + positions[i + 1]! * normal[1] + positions[i + 2]! * normal[2];
    if (along < low) low = along;
    if (along > high) high = along;
  }
  return low > high ? [0, 0] : [low, high];
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
