import type { Interrupter } from '../interrupter.ts';
import type { LabelledRuns } from '../rays/labelledRuns.ts';
import type { Runs } from '../rays/runs.ts';
import { joinLayerSlices } from './joinLayerSlices.ts';
import { sweepLimits } from './layerOptions.ts';
import { sweepRuns } from './sweepRuns.ts';
import type { LabelledVoid, VoidGraph } from './voidGraph.ts';

const NO_CEILINGS = {
  selfSupportDeg: 0,
  ceilingMm2: Number.POSITIVE_INFINITY,
  ceilingSpanMm: Number.POSITIVE_INFINITY,
};

/**
 * The void graph of a part (cavity already taken out of `solid`, openings left uncut), from its
 * runs. The void is the complement of the solid within the lattice's rectangle, one row spacing
 * wider than the part in x; with a lattice from `latticeFor` its border is connected in every layer.
 * Layers without solid are one outside region each.
 */
export function buildVoidGraph(
  solid: Runs,
  chamberRuns: LabelledRuns | null,
  interrupter: Interrupter,
): { readonly graph: VoidGraph; readonly labels: LabelledVoid } {
  const slice = sweepRuns(solid, chamberRuns, sweepLimits(solid.lattice, NO_CEILINGS), interrupter);
  const { graph, labels } = joinLayerSlices(solid.lattice, [slice], NO_CEILINGS);
  return { graph, labels };
}
