import { afterScaling, applyAffine } from '../core/affine.ts';
import type { Cavity } from '../core/field/cavity.ts';
import type { Portion } from '../core/filling/balance.ts';
import { coatChamber } from '../core/filling/coatChamber.ts';
import type { Coat, Fill } from '../core/filling/filling.ts';
import { type Poured, pourChamber } from '../core/filling/pourChamber.ts';
import type { Pose } from './posePart.ts';

/** What is put into a part's chambers, by chamber. Print frame. */
export interface Filling {
  readonly fills: readonly Portion[] | null;
  readonly coats: readonly Portion[] | null;
}

/** The cavity stands in source axes, where the figure's own z is up. */
export function measureFilling(
  { mesh, facetChamber, chambers }: Cavity,
  fill: Fill | null,
  coat: Coat | null,
  pose: Pose,
  factor: number,
): Filling {
  const toPrint = afterScaling(pose.frame, 1 / factor);
  const facets = chambers.map((_, chamber) =>
    Uint32Array.from(facetChamber.keys()).filter((facet) => facetChamber[facet] === chamber),
  );
  const portion = ({ volumeMm3, centroid }: Poured, density: number): Portion => ({
    volumeMm3,
    massG: (volumeMm3 * density) / 1000,
    at: applyAffine(toPrint, centroid),
  });
  return {
    fills: fill && facets.map((own) => portion(pourChamber(mesh, own, fill.level), fill.density)),
    coats:
      coat &&
      facets.map((own, chamber) =>
        portion(coatChamber(mesh, own, coat.thickness, chambers[chamber]!.volumeMm3), coat.density),
      ),
  };
}
