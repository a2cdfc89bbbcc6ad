import { type Affine, applyAffine } from '../core/affine.ts';
import type { Vec3 } from '../core/vector.ts';
import type { TrueWall } from '../core/walls/trueWall.ts';

/** What was found in source axes at finished size, carried over into the print frame. */
export function trueWallFacts({ sheets, webs, spikes, loose }: TrueWall, toPrint: Affine): TrueWall {
  const moved = <T extends { readonly at: Vec3 }>(found: readonly T[]): T[] =>
    found.map((one) => ({ ...one, at: applyAffine(toPrint, one.at) }));
  return { sheets: moved(sheets), webs: moved(webs), spikes: moved(spikes), loose: moved(loose) };
}
