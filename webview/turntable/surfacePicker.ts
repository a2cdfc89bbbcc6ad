import { type Affine, transformMesh } from '../../src/core/affine.ts';
import { closestOnSurface } from '../../src/core/openings/closestOnSurface.ts';
import { lineHits } from '../../src/core/openings/lineHits.ts';
import { buildSurfaceIndex, type SurfaceIndex } from '../../src/core/openings/surfaceIndex.ts';
import type { PackedSurface } from '../../src/core/surface/packedSurface.ts';
import { unpackSurface } from '../../src/core/surface/unpackSurface.ts';
import { add, cross, norm, scale, subtract, type Vec3 } from '../../src/core/vector.ts';
import { isCutAway, type Plane } from './cut.ts';

/** A place on the part's surface as drawn, print frame. */
export interface SurfacePoint {
  readonly at: Vec3;
  /** Unit normal, out of the solid. */
  readonly facing: Vec3;
}

/** Which surface is meant: the outside alone, or that of the hollow as well, where a cut lets it be seen. */
export type Reach = 'outside' | 'inside too';

/** Finds places on the surfaces that are drawn. */
export interface SurfacePicker {
  /** Nothing is computed before the first question. */
  setSurfaces(outer: PackedSurface | null, cavity: PackedSurface | null, toPrint: Affine): void;
  /** What is seen along a line of sight; null where that is nothing that is meant. */
  along(from: Vec3, direction: Vec3, plane: Plane | null, reach: Reach): SurfacePoint | null;
  nearest(to: Vec3, reach: Reach): SurfacePoint | null;
}

export function createSurfacePicker(): SurfacePicker {
  const outer = createLazyIndex();
  const cavity = createLazyIndex();
  const meant = (reach: Reach): Side[] => [
    { index: outer.index(), hollow: false },
    ...(reach === 'inside too' ? [{ index: cavity.index(), hollow: true }] : []),
  ];

  return {
    setSurfaces(outside, inside, toPrint) {
      outer.set(outside, toPrint);
      cavity.set(inside, toPrint);
    },
    along(from, direction, plane, reach) {
      const hits = meant(reach).flatMap((side) =>
        side.index === null
          ? []
          : lineHits(side.index, from, direction, 0, Number.POSITIVE_INFINITY).map((hit) => ({
              ...hit,
              side,
              away: hit.at,
              at: add(from, scale(direction, hit.at)),
            })),
      );
      const seen = hits.filter(({ at }) => !isCutAway(plane, at));
      if (seen.length === 0) return null;
      const first = seen.reduce((a, b) => (b.away < a.away ? b : a));
      // Where a facet is seen from within the solid first, the cut has opened the part there.
      return first.entering === first.side.hollow ? null : pointOf(first.side, first.at, first.facet);
    },
    nearest(to, reach) {
      const found = meant(reach).flatMap((side) => {
        if (side.index === null) return [];
        const { point, facet, distanceMm } = closestOnSurface(side.index, to);
        return facet < 0 ? [] : [{ side, point, facet, distanceMm }];
      });
      if (found.length === 0) return null;
      const { side, point, facet } = found.reduce((a, b) => (b.distanceMm < a.distanceMm ? b : a));
      return pointOf(side, point, facet);
    },
  };
}

interface Side {
  readonly index: SurfaceIndex | null;
  /** The hollow's own surface faces out of the hollow, into the solid. */
  readonly hollow: boolean;
}

function createLazyIndex() {
  let given: { readonly surface: PackedSurface; readonly toPrint: Affine } | null = null;
  let made: SurfaceIndex | null = null;
  return {
    set(surface: PackedSurface | null, toPrint: Affine): void {
      const same = given?.surface === surface && JSON.stringify(given?.toPrint) === JSON.stringify(toPrint);
      if (same) return;
      given = surface === null ? null : { surface, toPrint };
      made = null;
    },
    index(): SurfaceIndex | null {
      if (made === null && given !== null)
        made = buildSurfaceIndex(transformMesh(unpackSurface(given.surface), given.toPrint));
      return made;
    },
  };
}

function pointOf({ index, hollow }: Side, at: Vec3, facet: number): SurfacePoint {
  const { positions, triangles } = index!.mesh;
  const corner = (n: number): Vec3 => {
    const first = 3 * triangles[3 * facet + n]!;
    return [positions[first]!, positions[first + 1]!, positions[first + 2]!];
  };
  const area = cross(subtract(corner(1), corner(0)), subtract(corner(2), corner(0)));
  const length = norm(area);
  return { at, facing: length > 0 ? scale(area, (hollow ? -1 : 1) / length) : [0, 0, 1] };
}
