import type { Manifold, ManifoldToplevel } from 'manifold-3d';
import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type Result, success } from '../core/result.ts';
import type { ReadySolid } from './makeReady.ts';
import { separateVertices } from './separateVertices.ts';
import { inSolidScope, type SolidScope } from './solidScope.ts';

/** What grows and by how much; mm. */
export interface BaseSpread {
  readonly spreadMm: number;
  readonly layers: number;
  readonly layerMm: number;
}

/** A contour that would lose more of its area stays as it is. */
const TOLD_SHARE = 0.5;

/**
 * A part that stands on the plate with its base layers drawn narrower by the spread, all round and in holes: each
 * as an upright slab of its middle section. Print frame, mm. Where a layer is nowhere wide enough, it
 * stays as it is, and a note says so. The whole part goes through the kernel.
 *
 * Fails `solid-failed` when the kernel cannot cut it.
 */
export function insetBase(
  kernel: ManifoldToplevel,
  mesh: Mesh,
  { spreadMm, layers, layerMm }: BaseSpread,
  interrupter: Interrupter,
): Result<ReadySolid> {
  return inSolidScope(kernel, (scope) => {
    const part = scope.solidOf(mesh);
    const from = part.boundingBox().min[2];
    if (from >= layers * layerMm) return success({ mesh, notes: [] });
    interrupter(0.3);
    const above = scope.keep(part.trimByPlane([0, 0, 1], layers * layerMm));
    const slabs: Manifold[] = [];
    const notes: string[] = [];
    for (let layer = Math.max(0, Math.floor(from / layerMm)); layer < layers; layer++) {
      interrupter(0.4 + (0.4 * layer) / layers);
      const slab = narrowed(scope, part, layer, { spreadMm, layers, layerMm });
      if (slab === null) continue;
      slabs.push(slab.solid);
      if (!slab.isNarrower) {
        notes.push(
          `What is too narrow in layer ${layer} to be drawn ${spreadMm} mm smaller all round stays as it is.`,
        );
      }
    }
    const whole = scope.keep(kernel.Manifold.union([above, ...slabs]));
    return success({ mesh: separateVertices(scope.meshOf(whole)), notes });
  });
}

/** By how much a slab reaches into what stands on it, mm: what only touches stays apart, by a rounding of heights. */
const OVERLAP_MM = 1e-3;

/**
 * A base layer as it is drawn, each contour by itself; null where the part begins above its middle, of which the
 * kernel makes no slab.
 */
function narrowed(
  scope: SolidScope,
  part: Manifold,
  layer: number,
  { spreadMm, layerMm }: BaseSpread,
): { readonly solid: Manifold; readonly isNarrower: boolean } | null {
  const section = part.slice((layer + 0.5) * layerMm);
  const pieces = section.decompose();
  const insets = pieces.map((piece) => piece.offset(-spreadMm, 'Miter', 2));
  const isWide = pieces.map((piece, n) => insets[n]!.area() >= TOLD_SHARE * piece.area());
  const drawn = scope.kernel.CrossSection.compose(pieces.map((piece, n) => (isWide[n] ? insets[n]! : piece)));
  try {
    if (section.isEmpty()) return null;
    const slab = scope.keep(drawn.extrude(layerMm + OVERLAP_MM));
    return {
      solid: scope.keep(slab.translate([0, 0, layer * layerMm])),
      isNarrower: isWide.every((wide) => wide),
    };
  } finally {
    for (const one of [section, drawn, ...pieces, ...insets]) one.delete();
  }
}
