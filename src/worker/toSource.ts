import { type Affine, applyAffine, invertSimilarity } from '../core/affine.ts';
import type { Vec3 } from '../core/vector.ts';

/** Print frame → source coordinates of a measured part. */
export function toSource({ frame }: { readonly frame: Affine }): (at: Vec3) => Vec3 {
  const inverse = invertSimilarity(frame);
  return (at) => applyAffine(inverse, at);
}
