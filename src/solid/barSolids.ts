import type { Manifold } from 'manifold-3d';
import type { Bar } from '../core/supports/supportBodies.ts';
import { norm, subtract } from '../core/vector.ts';
import type { SolidScope } from './solidScope.ts';

const SIDES = 16;

/** A cone between two points, as far as its planes leave it, and balls at its ends where it leans, for bars that meet it at an angle. All are convex. */
export function barSolids(
  scope: SolidScope,
  { from, to, fromRadius, toRadius, trims = [] }: Bar,
): Manifold[] {
  const way = subtract(to, from);
  const height = norm(way);
  if (height === 0) return [];
  const { Manifold } = scope.kernel;
  const turnY = (Math.acos(Math.max(-1, Math.min(1, way[2] / height))) * 180) / Math.PI;
  const turnZ = (Math.atan2(way[1], way[0]) * 180) / Math.PI;
  const cone = scope.keep(Manifold.cylinder(height, fromRadius, toRadius, SIDES));
  const whole = scope.keep(scope.keep(cone.rotate([0, turnY, turnZ])).translate([...from]));
  const placed = trims.reduce(
    (solid, { normal, least }) => scope.keep(solid.trimByPlane([...normal, 0], least)),
    whole,
  );
  if (fromRadius !== toRadius || Math.abs(way[2]) === height) return [placed];
  const ball = scope.keep(Manifold.sphere(fromRadius, SIDES));
  return [placed, scope.keep(ball.translate([...from])), scope.keep(ball.translate([...to]))];
}
