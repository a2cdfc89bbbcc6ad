import { findRoot, joinSets, singletons } from '../unionFind.ts';
import type { CupState, CupTrack } from './cupTrack.ts';
import { RESOLVED_ROWS } from './islands.ts';
import type { OpeningLink } from './openingLinks.ts';
import { layerOfRegion, startOfRegion } from './regionPlace.ts';
import type { VoidGraph } from './voidGraph.ts';

/** What the sweep knows of each cup so far, by its root region, and of each opening. */
interface Sweep {
  readonly graph: VoidGraph;
  /** Sets of enclosed regions joined by contacts: the root is a cup's lowest region. */
  readonly parent: Uint32Array;
  readonly volumeMm3: Float64Array;
  readonly sculptedMm2: Float64Array;
  /** Per opening: it touches an outside region so far; the enclosed regions it touches so far. */
  readonly meetsOutside: Uint8Array;
  readonly touched: readonly Set<number>[];
}

/**
 * Follows every cup from the plate up. A cup is a connected void of enclosed regions (see
 * `VoidGraph.enclosed`), openings left uncut; it is joined once its void in the layers printed so
 * far meets the outside, by the sculpt itself or through openings, over other cups too. One track
 * per connected void: at a merge the one that began lowest goes on. Cups that never span 3 rows are
 * narrower than the lattice resolves and are left out. Tracks come in order of their first region.
 *
 * One pass over regions, contacts and opening layers, near linear (union–find).
 */
export function sweepCups(graph: VoidGraph, links: readonly OpeningLink[]): CupTrack[] {
  const regions = graph.area.length;
  const sweep: Sweep = {
    graph,
    parent: singletons(regions),
    volumeMm3: graph.area.map((area) => area * graph.layerHeight),
    sculptedMm2: new Float64Array(regions),
    meetsOutside: new Uint8Array(links.length),
    touched: links.map(() => new Set<number>()),
  };
  const stateRoots: number[] = [];
  const states: CupState[] = [];
  const areaOfRoot = new Float64Array(regions);
  for (let layer = 0; layer < graph.layers; layer++) {
    addContacts(sweep, layer);
    addOpeningLayer(sweep, links, layer);
    const roots = rootsOfLayer(sweep, layer, areaOfRoot);
    const openingsOfRoot = openingsByRoot(sweep);
    for (const root of roots) {
      states.push(stateOf(sweep, root, layer, areaOfRoot[root]!, openingsOfRoot));
      stateRoots.push(root);
      areaOfRoot[root] = 0;
    }
  }
  return collectTracks(sweep, states, stateRoots);
}

function addContacts({ graph, parent, volumeMm3, sculptedMm2 }: Sweep, layer: number): void {
  for (let contact = graph.contactStart[layer]!; contact < graph.contactStart[layer + 1]!; contact++) {
    const below = graph.contactBelow[contact]!;
    const above = graph.contactAbove[contact]!;
    const isBelow = graph.enclosed[below] === 1;
    const isAbove = graph.enclosed[above] === 1;
    if (isBelow !== isAbove) {
      sculptedMm2[findRoot(parent, isBelow ? below : above)]! += graph.contactArea[contact]!;
    } else if (isBelow) {
      const a = findRoot(parent, below);
      const b = findRoot(parent, above);
      if (a === b) continue;
      const volume = volumeMm3[a]! + volumeMm3[b]!;
      const sculpted = sculptedMm2[a]! + sculptedMm2[b]!;
      const root = joinSets(parent, a, b);
      volumeMm3[root] = volume;
      sculptedMm2[root] = sculpted;
    }
  }
}

function addOpeningLayer(sweep: Sweep, links: readonly OpeningLink[], layer: number): void {
  for (let opening = 0; opening < links.length; opening++) {
    const link = links[opening]!;
    const i = layer - link.firstLayer;
    if (i < 0 || i >= link.regionStart.length - 1) continue;
    for (let entry = link.regionStart[i]!; entry < link.regionStart[i + 1]!; entry++) {
      const region = link.regions[entry]!;
      if (sweep.graph.enclosed[region] === 1) sweep.touched[opening]!.add(findRoot(sweep.parent, region));
      else sweep.meetsOutside[opening] = 1;
    }
  }
}

/** Roots with area in this layer, in order of their first region of it; their areas are summed up. */
function rootsOfLayer({ graph, parent }: Sweep, layer: number, areaOfRoot: Float64Array): number[] {
  const roots: number[] = [];
  for (let region = graph.regionStart[layer]!; region < graph.regionStart[layer + 1]!; region++) {
    if (graph.enclosed[region] === 0) continue;
    const root = findRoot(parent, region);
    if (areaOfRoot[root] === 0) roots.push(root);
    areaOfRoot[root]! += graph.area[region]!;
  }
  return roots;
}

/** Openings that touch each cup so far; what an opening touches is brought up to its present roots. */
function openingsByRoot({ parent, touched }: Sweep): Map<number, number[]> {
  const byRoot = new Map<number, number[]>();
  for (let opening = 0; opening < touched.length; opening++) {
    const set = touched[opening]!;
    for (const region of [...set]) {
      const root = findRoot(parent, region);
      if (root === region) continue;
      set.delete(region);
      set.add(root);
    }
    for (const root of set) {
      const list = byRoot.get(root);
      if (list) list.push(opening);
      else byRoot.set(root, [opening]);
    }
  }
  return byRoot;
}

function stateOf(
  sweep: Sweep,
  root: number,
  layer: number,
  areaMm2: number,
  openingsOfRoot: Map<number, number[]>,
): CupState {
  const sculptedMm2 = sweep.sculptedMm2[root]!;
  const openings = (openingsOfRoot.get(root) ?? []).filter((opening) =>
    leadsOutside(sweep, opening, openingsOfRoot, new Set([root])),
  );
  return {
    layer,
    limb: root,
    areaMm2,
    volumeMm3: sweep.volumeMm3[root]!,
    floorLayer: layerOfRegion(sweep.graph, root),
    floorAt: startOfRegion(sweep.graph, root),
    joined: sculptedMm2 > 0 || openings.length > 0,
    openings,
    sculptedMm2,
  };
}

/** Whether an opening, as printed so far, reaches the outside by a way that avoids the cups passed already. */
function leadsOutside(
  sweep: Sweep,
  opening: number,
  openingsOfRoot: Map<number, number[]>,
  passed: Set<number>,
): boolean {
  if (sweep.meetsOutside[opening] === 1) return true;
  for (const root of sweep.touched[opening]!) {
    if (passed.has(root)) continue;
    if (sweep.sculptedMm2[root]! > 0) return true;
    passed.add(root);
    for (const other of openingsOfRoot.get(root)!) {
      if (other !== opening && leadsOutside(sweep, other, openingsOfRoot, passed)) return true;
    }
  }
  return false;
}

function collectTracks(
  { graph, parent, sculptedMm2 }: Sweep,
  states: readonly CupState[],
  stateRoots: readonly number[],
): CupTrack[] {
  const resolved = new Set<number>();
  const chamberArea = new Map<number, Map<number, number>>();
  for (let region = 0; region < graph.area.length; region++) {
    if (graph.enclosed[region] === 0) continue;
    const root = findRoot(parent, region);
    if (graph.rowSpan[region]! >= RESOLVED_ROWS) resolved.add(root);
    if (graph.chamber[region]! < 0) continue;
    const areas = chamberArea.get(root) ?? new Map<number, number>();
    areas.set(graph.chamber[region]!, (areas.get(graph.chamber[region]!) ?? 0) + graph.area[region]!);
    chamberArea.set(root, areas);
  }
  const statesOfTrack = new Map<number, CupState[]>();
  states.forEach((state, i) => {
    const root = findRoot(parent, stateRoots[i]!);
    if (!resolved.has(root)) return;
    const list = statesOfTrack.get(root);
    if (list) list.push(state);
    else statesOfTrack.set(root, [state]);
  });
  return [...statesOfTrack.keys()]
    .sort((a, b) => a - b)
    .map((root) => trackOf(graph, root, statesOfTrack.get(root)!, sculptedMm2[root]!, chamberArea.get(root)));
}

function trackOf(
  graph: VoidGraph,
  root: number,
  states: readonly CupState[],
  sculptedMm2: number,
  chamberArea: Map<number, number> | undefined,
): CupTrack {
  const fromLayer = states[0]!.layer;
  const last = states[states.length - 1]!;
  return {
    fromLayer,
    toLayer: last.layer,
    states,
    opensAfter: sculptedMm2 > 0 && last.sculptedMm2 === 0,
    chamber: largestKey(chamberArea),
    at: startOfRegion(graph, root),
  };
}

function largestKey(amounts: Map<number, number> | undefined): number | null {
  let best: number | null = null;
  let most = 0;
  for (const [key, amount] of amounts ?? []) {
    if (amount > most || (amount === most && best !== null && key < best)) {
      best = key;
      most = amount;
    }
  }
  return best;
}
