import type { ManifoldToplevel } from 'manifold-3d';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type Result, success } from '../core/result.ts';
import { coupon } from '../core/trueSize/coupon.ts';
import { separateVertices } from './separateVertices.ts';
import { inSolidScope } from './solidScope.ts';

/** Corners of a hole's circle; its area is that of the round one. */
const SIDES = 96;

/** The coupon as one closed solid, its corner at the origin on the plate, arms along +x and +y. Print frame, mm. */
export function couponSolid(kernel: ManifoldToplevel): Result<Mesh> {
  const { armMm, armWidthMm, armHeightMm, postMm, holeMm, holeFromEndMm } = coupon;
  return inSolidScope(kernel, (scope) => {
    const { Manifold } = kernel;
    const box = (x: number, y: number, z: number) => scope.keep(Manifold.cube([x, y, z]));
    const angle = (2 * Math.PI) / SIDES;
    const radius = (holeMm / 2) * Math.sqrt(angle / Math.sin(angle));
    const pin = scope.keep(Manifold.cylinder(3 * armHeightMm, radius, radius, SIDES));
    const hole = (x: number, y: number) => scope.keep(pin.translate([x, y, -armHeightMm]));
    const [end, middle] = [armMm - holeFromEndMm, armWidthMm / 2];
    const body = scope.keep(
      Manifold.union([
        box(armMm, armWidthMm, armHeightMm),
        box(armWidthMm, armMm, armHeightMm),
        box(armWidthMm, armWidthMm, armHeightMm + postMm),
      ]),
    );
    const holes = scope.keep(Manifold.union([hole(end, middle), hole(middle, end)]));
    return success(separateVertices(scope.meshOf(scope.keep(body.subtract(holes)))));
  });
}
