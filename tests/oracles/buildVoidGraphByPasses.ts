import { type Interrupter, portion } from '../../src/core/interrupter.ts';
import { componentFigures } from '../../src/core/layers/componentFigures.ts';
import { layerComponents } from '../../src/core/layers/layerComponents.ts';
import { addToPair, createPairSums } from '../../src/core/layers/pairSums.ts';
import type { VoidGraph } from '../../src/core/layers/voidGraph.ts';
import type { LabelledRuns } from '../../src/core/rays/labelledRuns.ts';
import type { Runs } from '../../src/core/rays/runs.ts';
import { boundsOfRuns, voidRuns } from '../../src/core/rays/voidRuns.ts';
import { enclosedComponents } from './enclosedComponents.ts';
import { layerContacts } from './layerContacts.ts';

/**
 * Slower twin of `buildVoidGraph`, a pass over all layers for each thing: the void graph of a part (cavity already taken out of `solid`, openings left uncut), from its runs. The void is the complement of the solid within the lattice's rectangle, one row
 * spacing wider than the part in x; with a lattice from `latticeFor` its border is connected in
 * every layer. Layers without solid are one outside region each.
 */
export function buildVoidGraphByPasses(
  solid: Runs,
  chamberRuns: LabelledRuns | null,
  interrupter: Interrupter,
  bounds = boundsOfRuns(solid),
): { readonly graph: VoidGraph; readonly region: Uint32Array } {
  const runs = voidRuns(solid, bounds);
  const components = layerComponents(runs, portion(interrupter, 0.1, 0.5));
  const contacts = layerContacts(runs, components.component, portion(interrupter, 0.5, 0.8));
  const figures = componentFigures(runs, components);
  interrupter(0.9);
  const regions = figures.area.length;
  const centroid = new Float32Array(2 * regions);
  for (let region = 0; region < regions; region++) {
    centroid[2 * region] = figures.centroidX[region]!;
    centroid[2 * region + 1] = figures.centroidY[region]!;
  }
  const graph: VoidGraph = {
    layers: solid.lattice.layers,
    layerHeight: solid.lattice.dz,
    regionStart: components.start,
    contactStart: contacts.start,
    area: figures.area,
    enclosed: enclosedComponents(runs, components),
    centroid,
    rowSpan: figures.rowSpan,
    chamber: chamberOfRegions(runs, components.component, figures.area, chamberRuns),
    contactBelow: contacts.below,
    contactAbove: contacts.above,
    contactArea: contacts.area,
  };
  return { graph, region: components.component };
}

/** The chamber that fills at least half of a region, or −1. */
function chamberOfRegions(
  runs: Runs,
  region: Uint32Array,
  area: Float64Array,
  chamberRuns: LabelledRuns | null,
): Int32Array {
  const chamber = new Int32Array(area.length).fill(-1);
  if (chamberRuns === null) return chamber;
  const pairs = createPairSums();
  for (let row = 0; row + 1 < runs.offsets.length; row++) {
    let a = runs.offsets[row]!;
    let b = chamberRuns.offsets[row]!;
    const lastA = runs.offsets[row + 1]!;
    const lastB = chamberRuns.offsets[row + 1]!;
    while (a < lastA && b < lastB) {
      const endA = runs.ends[2 * a + 1]!;
      const endB = chamberRuns.ends[2 * b + 1]!;
      const overlap = Math.min(endA, endB) - Math.max(runs.ends[2 * a]!, chamberRuns.ends[2 * b]!);
      if (overlap > 0) addToPair(pairs, region[a]!, chamberRuns.label[b]!, overlap);
      if (endA < endB) a++;
      else b++;
    }
  }
  for (let pair = 0; pair < pairs.count; pair++) {
    const inRegion = pairs.first[pair]!;
    if (pairs.sum[pair]! * runs.lattice.dy >= area[inRegion]! / 2) chamber[inRegion] = pairs.second[pair]!;
  }
  return chamber;
}
