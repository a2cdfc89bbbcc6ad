import type { KeptRegion } from '../core/field/keptRegion.ts';
import { scale } from '../core/vector.ts';
import type { PartRequest } from './partRequest.ts';

/** The regions a part keeps solid, in source axes at finished size. A solid part keeps nothing in particular. */
export function keptRegions({ keepSolid, factor, wall }: PartRequest): KeptRegion[] {
  if (wall === null) return [];
  return keepSolid.map(({ at, radius, size }) => ({
    at: scale(at, factor),
    halfSize: size === null ? [0, 0, 0] : scale(size, 0.5),
    roundMm: radius ?? 0,
  }));
}
