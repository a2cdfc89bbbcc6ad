import type { KeptRegion } from '../core/field/keptRegion.ts';
import type { LightBore } from '../core/lights/light.ts';
import { lightCurve } from '../core/lights/lightCurve.ts';
import { scale, type Vec3 } from '../core/vector.ts';
import type { PartRequest } from './partRequest.ts';

/**
 * The regions a part keeps solid, in source axes at finished size: the builder's own first, then the linings of its
 * lights. A solid part keeps nothing in particular.
 */
export function keptRegions({ keepSolid, lights, factor, wall }: PartRequest): KeptRegion[] {
  if (wall === null) return [];
  const own = keepSolid.map(
    ({ at, radius, size }): KeptRegion => ({
      at: scale(at, factor),
      halfSize: size === null ? [0, 0, 0] : scale(size, 0.5),
      roundMm: radius ?? 0,
    }),
  );
  return [...own, ...lights.flatMap((light) => liningOf(light, factor) ?? [])];
}

/** All round the tube, so that the hollow keeps its distance from it. */
function liningOf({ path, radiusMm, liningMm }: LightBore, factor: number): KeptRegion | null {
  const roundMm = radiusMm + liningMm;
  const curve = lightCurve(
    path.map((point) => scale(point, factor)),
    roundMm,
  );
  if (curve === null) return null;
  const ends = (axis: number): [number, number] => {
    const along = curve.points.map((point) => point[axis]!);
    return [Math.min(...along), Math.max(...along)];
  };
  const sides = [ends(0), ends(1), ends(2)];
  return {
    at: sides.map(([low, high]) => (low + high) / 2) as unknown as Vec3,
    halfSize: sides.map(([low, high]) => (high - low) / 2) as unknown as Vec3,
    roundMm,
    chain: curve.points.flat(),
  };
}
