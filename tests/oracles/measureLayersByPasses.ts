import { type Interrupter, portion } from '../../src/core/interrupter.ts';
import { type ComponentFigures, componentFigures } from '../../src/core/layers/componentFigures.ts';
import { findIslands, type IslandStarts } from '../../src/core/layers/islands.ts';
import { type LayerComponents, layerComponents } from '../../src/core/layers/layerComponents.ts';
import type { Island, LayerFigures } from '../../src/core/layers/layerFigures.ts';
import type { LayerOptions } from '../../src/core/layers/layerOptions.ts';
import { findRun } from '../../src/core/rays/findRun.ts';
import { rowIndex } from '../../src/core/rays/lattice.ts';
import { layerAreas } from '../../src/core/rays/layerAreas.ts';
import type { Runs } from '../../src/core/rays/runs.ts';
import { findCeilings } from './ceilingsByPasses.ts';
import { type InsideTester, insideTester } from './insideTester.ts';
import { layerContacts } from './layerContacts.ts';
import { overhangRuns, selfSupportReach } from './overhangsByPasses.ts';

/**
 * Slower twin of `measureLayers`, a pass over all layers for each thing: areas, overhangs, islands and ceilings of every layer. `solid` is the part with its cavity taken
 * out and openings uncut, `cavity` what was taken out (null when solid), both of one lattice in the
 * print frame. The rules are stated in `islands.ts`, `overhangs.ts` and `ceilings.ts`.
 */
export function measureLayersByPasses(
  solid: Runs,
  cavity: Runs | null,
  options: LayerOptions,
  interrupter: Interrupter,
): LayerFigures {
  const { layers, dz } = solid.lattice;
  const components = layerComponents(solid, portion(interrupter, 0, 0.3));
  const figures = componentFigures(solid, components);
  const contacts = layerContacts(solid, components.component, portion(interrupter, 0.35, 0.55));
  const starts = findIslands(solid, components, contacts, figures);
  const isInside = insideTester(solid, cavity);

  const reach = selfSupportReach(dz, options.selfSupportDeg);
  const overhang = overhangRuns(solid, reach, portion(interrupter, 0.55, 0.85));
  const overhangParts = layerComponents(overhang, portion(interrupter, 0.85, 0.9));
  const ceilings = findCeilings(
    overhang,
    overhangParts,
    componentFigures(overhang, overhangParts),
    { ...options, reach },
    startTester(solid, components, starts),
    isInside,
  );
  return {
    layers,
    layerHeight: dz,
    area: layerAreas(solid),
    overhang: layerAreas(overhang),
    islands: tellIslands(solid, components, figures, starts, isInside),
    specksLeftOut: starts.specksLeftOut,
    ceilings,
  };
}

/**
 * Islands in order of their first layer. Area and x, y are taken at the layer where the island is
 * first 3 rows wide; z is the underside of its first layer.
 */
function tellIslands(
  solid: Runs,
  components: LayerComponents,
  figures: ComponentFigures,
  { first, resolved }: IslandStarts,
  isInside: InsideTester,
): Island[] {
  const { z0, dz } = solid.lattice;
  const order = first.map((_, i) => i).sort((a, b) => first[a]! - first[b]!);
  const layerOf = layerLookup(components.start);
  return order.map((i) => {
    const layer = layerOf(first[i]!);
    const point = pointOfComponent(solid, components, layer, first[i]!);
    const shown = resolved[i]!;
    return {
      layer,
      areaMm2: figures.area[shown]!,
      at: [figures.centroidX[shown]!, figures.centroidY[shown]!, z0 + layer * dz],
      inside: isInside(layer - 1, point.row, point.x),
    };
  });
}

/** Layer of a component, for ascending questions. */
function layerLookup(start: Uint32Array): (component: number) => number {
  let layer = 0;
  return (component) => {
    while (start[layer + 1]! <= component) layer++;
    return layer;
  };
}

/** The middle of a component's first run: a point that is surely in it. */
function pointOfComponent(
  { lattice, offsets, ends }: Runs,
  { component }: LayerComponents,
  layer: number,
  wanted: number,
): { row: number; x: number } {
  for (let row = 0; row < lattice.rows; row++) {
    const at = rowIndex(lattice, layer, row);
    for (let run = offsets[at]!; run < offsets[at + 1]!; run++) {
      if (component[run] === wanted) return { row, x: (ends[2 * run]! + ends[2 * run + 1]!) / 2 };
    }
  }
  throw new Error(`component ${wanted} is not in layer ${layer}`);
}

/** Whether the solid at a point belongs to a component with no solid below it. */
function startTester(solid: Runs, { component }: LayerComponents, { starts }: IslandStarts): InsideTester {
  return (layer, row, x) => {
    const run = findRun(solid, rowIndex(solid.lattice, layer, row), x);
    return run >= 0 && starts[component[run]!] === 1;
  };
}
