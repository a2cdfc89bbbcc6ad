import { type Affine, afterScaling, applyAffine, invertSimilarity } from '../../core/affine.ts';
import type { ShowOutline } from '../../core/showSide/showOutline.ts';
import { sourceRounding } from '../../core/sourceRounding.ts';
import { normalized, type Vec3 } from '../../core/vector.ts';

/** A point of the print frame in source coordinates, rounded for the manifest. `toPrint` as in `PartScene`. */
export function toSource(at: Vec3, toPrint: Affine, factor: number): Vec3 {
  return sourceRounding(factor)(applyAffine(invertSimilarity(afterScaling(toPrint, factor)), at));
}

/** An outline drawn in the print frame, for the manifest: source coordinates, rounded. `toPrint` as in `PartScene`. */
export function sourceOutline(
  { outline, facing }: { readonly outline: readonly Vec3[]; readonly facing: Vec3 },
  toPrint: Affine,
  factor: number,
): ShowOutline & { readonly facing: Vec3 } {
  const back = invertSimilarity(afterScaling(toPrint, factor));
  const round = sourceRounding(factor);
  const way = normalized(applyAffine({ linear: back.linear, shift: [0, 0, 0] }, facing));
  return {
    outline: outline.map((point) => round(applyAffine(back, point))),
    facing: way.map((value) => Number(value.toFixed(3)) + 0) as unknown as Vec3,
  };
}
