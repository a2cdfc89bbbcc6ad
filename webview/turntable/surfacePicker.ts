import { type Affine, transformMesh } from '../../src/core/affine.ts';
import { closestOnSurface } from '../../src/core/openings/closestOnSurface.ts';
import { lineHits } from '../../src/core/openings/lineHits.ts';
import { buildSurfaceIndex, type SurfaceIndex } from '../../src/core/openings/surfaceIndex.ts';
import type { PackedSurface } from '../../src/core/surface/packedSurface.ts';
import { unpackSurface } from '../../src/core/surface/unpackSurface.ts';
import { add, cross, norm, scale, subtract, type Vec3 } from '../../src/core/vector.ts';
import { isCutAway, type Plane } from './cut.ts';

/** A place on the part's outside as drawn, print frame. */
export interface SurfacePoint {
  readonly at: Vec3;
  /** Unit normal, outward. */
  readonly facing: Vec3;
}

/** Finds places on the surface that is drawn. */
export interface SurfacePicker {
  /** Nothing is computed before the first question. */
  setSurface(surface: PackedSurface | null, toPrint: Affine): void;
  /** What is seen along a line of sight; null where that is nothing of the outside. */
  along(from: Vec3, direction: Vec3, plane: Plane | null): SurfacePoint | null;
  nearest(to: Vec3): SurfacePoint | null;
}

export function createSurfacePicker(): SurfacePicker {
  let given: { readonly surface: PackedSurface; readonly toPrint: Affine } | null = null;
  let made: SurfaceIndex | null = null;

  function index(): SurfaceIndex | null {
    if (made === null && given !== null)
      made = buildSurfaceIndex(transformMesh(unpackSurface(given.surface), given.toPrint));
    return made;
  }

  return {
    setSurface(surface, toPrint) {
      const same = given?.surface === surface && JSON.stringify(given?.toPrint) === JSON.stringify(toPrint);
      if (same) return;
      given = surface === null ? null : { surface, toPrint };
      made = null;
    },
    along(from, direction, plane) {
      const surface = index();
      if (surface === null) return null;
      const hits = lineHits(surface, from, direction, 0, Number.POSITIVE_INFINITY).map((hit) => ({
        ...hit,
        at: add(from, scale(direction, hit.at)),
      }));
      // Where a facet is seen from behind first, the cut has opened the part there.
      const first = hits.find(({ at }) => !isCutAway(plane, at));
      return first?.entering ? pointOf(surface, first.at, first.facet) : null;
    },
    nearest(to) {
      const surface = index();
      if (surface === null) return null;
      const { point, facet } = closestOnSurface(surface, to);
      return facet < 0 ? null : pointOf(surface, point, facet);
    },
  };
}

function pointOf({ mesh: { positions, triangles } }: SurfaceIndex, at: Vec3, facet: number): SurfacePoint {
  const corner = (n: number): Vec3 => {
    const first = 3 * triangles[3 * facet + n]!;
    return [positions[first]!, positions[first + 1]!, positions[first + 2]!];
  };
  const area = cross(subtract(corner(1), corner(0)), subtract(corner(2), corner(0)));
  const length = norm(area);
  return { at, facing: length > 0 ? scale(area, 1 / length) : [0, 0, 1] };
}
